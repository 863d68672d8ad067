import { describe, expect, test } from 'vitest';
import { CC, NON_REGISTERED, ParameterChoice, RPN } from '../../../src/core/midi/index.js';

function choose(...halves: [controller: number, value: number][]): ParameterChoice {
  const choice = new ParameterChoice();
  for (const [controller, value] of halves) choice.take(controller, value);
  return choice;
}

describe('a parameter chosen half by half', () => {
  test.each<[string, [number, number][], number]>([
    ['nothing', [], RPN.none],
    [
      'both halves',
      [
        [CC.rpnMsb, 0],
        [CC.rpnLsb, 1],
      ],
      RPN.fineTuning,
    ],
    [
      'another low half: the high one stays',
      [
        [CC.rpnMsb, 0],
        [CC.rpnLsb, 1],
        [CC.rpnLsb, 2],
      ],
      RPN.coarseTuning,
    ],
    [
      'one that isn’t registered',
      [
        [CC.nrpnLsb, 2],
        [CC.nrpnMsb, 1],
      ],
      NON_REGISTERED | 130,
    ],
    [
      'none, by the other kind of number',
      [
        [CC.rpnMsb, 0],
        [CC.rpnLsb, 1],
        [CC.nrpnMsb, 127],
        [CC.nrpnLsb, 127],
      ],
      RPN.none,
    ],
    [
      'back to a registered one, by one half',
      [
        [CC.rpnMsb, 0],
        [CC.rpnLsb, 0],
        [CC.nrpnMsb, 1],
        [CC.nrpnLsb, 8],
        [CC.rpnLsb, 1],
      ],
      RPN.fineTuning,
    ],
    ['half a number', [[CC.rpnMsb, 0]], 127],
    ['half a number that isn’t registered', [[CC.nrpnMsb, 1]], NON_REGISTERED | 255],
  ])('the chosen parameter is right after %s', (_what, halves, selected) =>
    expect(choose(...halves).selected).toBe(selected),
  );
});

test('no parameter is chosen after clearing, and its halves start again', () => {
  const choice = choose([CC.rpnMsb, 0], [CC.rpnLsb, 1]);
  choice.clear();
  expect(choice.selected).toBe(RPN.none);
  choice.take(CC.rpnLsb, 1);
  expect(choice.selected).toBe(0x3f81);
});
