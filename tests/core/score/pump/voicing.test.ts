import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  CHOIRS,
  CLASSIC_PUMPS,
  type Pump,
  parseFormula,
  toKeyClass,
  toMembers,
  toPump,
  toVoicings,
  type Voicing,
} from '../../../../src/core/score/index.js';
import type { Tonic } from '../../../../src/core/theory/index.js';
import { forAll } from '../../../support/properties.js';

const C: Tonic = { keyClass: 0, fifths: 0 };

function make(text: string, tonic = C): Pump | undefined {
  const formula = parseFormula(text, tonic);
  if (!formula.ok) throw new Error(formula.problem.message);
  const pump = toPump(formula.value);
  return pump.ok ? pump.value : undefined;
}

function set(pump: Pump | undefined, count: 3 | 4): readonly Voicing[] {
  if (pump === undefined) throw new Error('no pump');
  const outcome = toVoicings(pump, count);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** Everything a setting must keep. */
function check(pump: Pump, count: 3 | 4): void {
  const voicings = set(pump, count);
  expect(voicings.length).toBe(pump.chords.length);
  voicings.forEach((voicing, i) => {
    const { fifths, quality } = pump.chords[i];
    const wanted = toMembers(quality).map((member) => (toKeyClass(fifths) + member.keys) % 12);
    expect(voicing.length).toBe(count);
    // Each voice within its range, none crossed, none far from its neighbour.
    voicing.forEach((key, voice) => {
      expect(key).toBeGreaterThanOrEqual(CHOIRS[count][voice].lowest);
      expect(key).toBeLessThanOrEqual(CHOIRS[count][voice].highest);
      if (voice > 0) expect(key).toBeGreaterThan(voicing[voice - 1]);
      if (voice > 1) expect(key - voicing[voice - 1]).toBeLessThanOrEqual(12);
    });
    // The chord is whole, with nothing else in it.
    expect(new Set(voicing.map((key) => key % 12))).toEqual(new Set(wanted));
    // Common tones are held, in the last chord of a pass as well; no voice leaps further than an octave.
    const next = voicings[(i + 1) % voicings.length];
    for (const keyClass of pump.moves[i].held)
      expect(voicing.some((key, voice) => key % 12 === keyClass && next[voice] === key)).toBe(true);
    voicing.forEach((key, voice) => {
      expect(Math.abs(next[voice] - key)).toBeLessThanOrEqual(12);
    });
  });
}

describe.each([3, 4] as const)('%i voices of a pump', (count) => {
  test.each(CLASSIC_PUMPS.filter(({ formula }) => count === 4 || !formula.includes('7')))(
    'set $name within their ranges, with whole chords and held common tones',
    ({ formula }) => {
      const pump = make(formula);
      if (pump === undefined) throw new Error(formula);
      check(pump, count);
    },
  );
});

test('any row of triads with notes in common, in any key, is set with whole chords and held common tones', () => {
  const degrees = fc.array(fc.constantFrom('I', 'ii', 'iii', 'IV', 'V', 'vi', 'i', 'iv', 'bVI', 'bIII'), {
    minLength: 2,
    maxLength: 8,
  });
  forAll([degrees, fc.integer({ min: -5, max: 6 })], 60, (row, fifths) => {
    const text = row.join(' ');
    const tonic = { fifths, keyClass: toKeyClass(fifths) };
    fc.pre(parseFormula(text, tonic).ok);
    const pump = make(text, tonic);
    fc.pre(pump !== undefined);
    if (pump !== undefined) check(pump, 4);
  });
});

describe('the voicing of the turnaround', () => {
  const voicings = set(make('I vi ii V'), 4);
  const pairs = voicings.map((from, i) => [from, voicings[(i + 1) % voicings.length]] as const);

  test('is smooth: the upper voices move by a third at most, and mostly by step or not at all', () => {
    const moves = pairs.flatMap(([from, to]) => from.slice(1).map((key, i) => Math.abs(to[i + 1] - key)));
    expect(Math.max(...moves)).toBeLessThanOrEqual(4);
    expect(moves.filter((move) => move <= 2).length).toBeGreaterThan(moves.length * 0.7);
  });

  test('has no parallel fifths or octaves', () => {
    for (const [from, to] of pairs)
      for (let high = 1; high < 4; high++)
        for (let low = 0; low < high; low++) {
          const isPerfect = [0, 7].includes((from[high] - from[low]) % 12);
          const isSame = to[high] - to[low] === from[high] - from[low];
          expect(isPerfect && isSame && to[low] !== from[low]).toBe(false);
        }
  });

  test('has roots in the bass, but the third of V, so that the bass comes home by a step', () => {
    expect(voicings.map(([bass]) => bass % 12)).toEqual([0, 9, 2, 11]);
  });
});

test('a pump with a seventh chord needs four voices', () => {
  const pump = make('C7 F7 G7');
  expect(pump && toVoicings(pump, 3)).toMatchObject({
    ok: false,
    problem: { code: 'PUMP_VOICES', message: 'C7 has four notes, and there are three voices' },
  });
});

test('the longest pump formula is set for voices', () => {
  const pump = make('I vi ii V '.repeat(16));
  expect(pump?.chords.length).toBe(64);
  if (pump !== undefined) check(pump, 4);
});

test.each([
  [4, 'Try --voices 3'],
  [3, 'Try --voices 4'],
] as const)(
  'a pump whose notes cannot be held is refused for %i voices, with what to try',
  (count, advice) => {
    const pump = make('C Am Dm G');
    if (pump === undefined) throw new Error('no pump');
    // As no formula makes it: F♯ is said to be held, and no chord has one.
    const impossible = { ...pump, moves: pump.moves.map((move) => ({ ...move, held: [6] })) };
    const outcome = toVoicings(impossible, count);
    if (outcome.ok) throw new Error('was set');
    expect(outcome.problem.code).toBe('PUMP_VOICES');
    expect(outcome.problem.advice).toContain(advice);
  },
);
