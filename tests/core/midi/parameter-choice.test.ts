import { expect, test } from 'vitest';
import { CC, NON_REGISTERED, ParameterChoice, RPN } from '../../../src/core/midi/index.js';
import { messages } from '../../support/midi-bytes.js';

/** Controllers 101 and 100 choose a registered parameter, 99 and 98 another. */
function choose(...halves: number[][]): ParameterChoice {
  const choice = new ParameterChoice();
  for (const [controller, value] of halves) choice.take(controller, value);
  return choice;
}

test.each<[string, number[][], number]>([
  ['nothing', [], RPN.none],
  ['both halves', messages('101 0, 100 1'), RPN.fineTuning],
  ['another low half: the high one stays', messages('101 0, 100 1, 100 2'), RPN.coarseTuning],
  ['one that isn’t registered', messages('98 2, 99 1'), NON_REGISTERED | 130],
  ['none, by the other kind of number', messages('101 0, 100 1, 99 127, 98 127'), RPN.none],
  ['back to a registered one, by one half', messages('101 0, 100 0, 99 1, 98 8, 100 1'), RPN.fineTuning],
  ['half a number', messages('101 0'), 127],
  ['half a number that isn’t registered', messages('99 1'), NON_REGISTERED | 255],
])('the parameter chosen half by half is right after %s', (_what, halves, selected) =>
  expect(choose(...halves).selected).toBe(selected),
);

test('no parameter is chosen after clearing, and its halves start again', () => {
  const choice = choose([CC.rpnMsb, 0], [CC.rpnLsb, 1]);
  choice.clear();
  expect(choice.selected).toBe(RPN.none);
  choice.take(CC.rpnLsb, 1);
  expect(choice.selected).toBe(0x3f81);
});
