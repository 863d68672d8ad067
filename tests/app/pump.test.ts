import { describe, expect, test } from 'vitest';
import { listPumps, makePump, type PumpOptions } from '../../src/app/pump.js';
import { CLASSIC_PUMPS } from '../../src/core/score/index.js';
import { formatRatio, power, toCents } from '../../src/core/theory/index.js';

const OPTIONS: PumpOptions = {
  text: 'I vi ii V',
  tonic: { keyClass: 0, fifths: 0 },
  voices: 4,
  passes: 3,
  secondsPerChord: 2,
  tied: true,
};

function make(options: Partial<PumpOptions> = {}) {
  const made = makePump({ ...OPTIONS, ...options });
  if (!made.ok) throw new Error(made.problem.message);
  return made.value;
}

describe.each(CLASSIC_PUMPS)('$name', ({ name }) => {
  test.each([1, 4])('drifts, when retuned freely, by what was worked out, after %i passes', (passes) => {
    const { drift, retuned, isBorneOut, pump } = make({ text: name, passes });
    expect(formatRatio(retuned)).toBe(formatRatio(drift));
    expect(isBorneOut).toBe(true);
    expect(drift).toEqual(power(pump.drift, passes));
  });
});

test('five passes of a one-comma pump drift by a semitone', () => {
  expect(toCents(make({ passes: 5 }).retuned)).toBeCloseTo(-107.53, 2);
  expect(toCents(make({ passes: 20 }).retuned)).toBeCloseTo(-20 * 21.5063, 2);
});

test('a pump in another key, for three voices, drifts by the same', () => {
  const exercise = make({ tonic: { keyClass: 9, fifths: 3 }, voices: 3 });
  expect(exercise.isBorneOut).toBe(true);
  expect(formatRatio(exercise.pump.drift)).toBe('80/81');
});

test("a pump that the tuner's memory holds back says so", () => {
  const quick = make({ secondsPerChord: 0.25, tied: false, passes: 2 });
  expect(quick.isBorneOut).toBe(false);
  expect(formatRatio(quick.retuned)).not.toBe(formatRatio(quick.drift));
});

test('the list of pumps has every classic one with its comma', () => {
  const list = listPumps(OPTIONS.tonic);
  expect(list.map(({ classic }) => classic)).toEqual([...CLASSIC_PUMPS]);
  expect(formatRatio(list[0].pump.drift)).toBe('80/81');
});

test.each([
  ['I vi H', 'PUMP_TEXT'],
  ['IV V', 'PUMP_APART'],
])('the pump command refuses %s', (text, code) => {
  expect(makePump({ ...OPTIONS, text })).toMatchObject({ ok: false, problem: { code } });
});
