import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ratio, toDeviationCents } from '../../src/core/theory/index.js';
import { type Spring, settleSprings } from '../../src/core/tuner/springs.js';
import { forAll } from '../support/properties.js';

/**
 * The quadratic problem of adaptive tuning, as posed by K. Stange, C. Wick and H. Hinrichsen, "Playing music in just
 * intonation", Computer Music EventQueue 42(3), 2018. The figures were worked out by hand from its normal equations: with all
 * weights 1 each note stands at the mean of what the others want of it.
 */
const AT_HOME = { cents: 0, weight: 1 };

/** Springs by what is wanted between which notes: '0-1 5/4'. */
function springs(...wanted: string[]): Spring[] {
  return wanted.map((text) => {
    const [, from, to, size] = /^(\d)-(\d) (\S+)$/.exec(text) as RegExpExecArray;
    return { from: Number(from), to: Number(to), cents: toDeviationCents(ratio(size)), weight: 1 };
  });
}

/** What is left amiss, squared and summed. */
function energyOf(x: ArrayLike<number>, all: readonly Spring[]): number {
  return all.reduce((sum, { from, to, cents, weight }) => sum + weight * (x[to] - x[from] - cents) ** 2, 0);
}

// A deviation off 12 equal leaves the octaves and semitones out, so 5/3 stands for its own key distance.
const ROWS: readonly [chord: string, wanted: string[], x: number[], energy: number][] = [
  ['C E G', ['0-1 5/4', '1-2 6/5', '0-2 3/2'], [3.9104, -9.7759, 5.8654], 0],
  ['A C E', ['0-1 6/5', '1-2 5/4', '0-2 3/2'], [-5.8654, 9.7759, -3.9104], 0],
  ['C E G♯', ['0-1 5/4', '1-2 5/4', '0-2 8/5'], [0, 0, 0], 561.943],
  [
    'B D F A♭ without its tritones',
    ['0-1 6/5', '1-2 6/5', '2-3 6/5', '0-3 5/3'],
    [0, 0, 0, 0],
    4 * 15.6413 ** 2,
  ],
  [
    'B D F A♭ with its tritones at 45/32',
    ['0-1 6/5', '1-2 6/5', '2-3 6/5', '0-3 5/3', '0-2 45/32', '1-3 45/32'],
    [2.4441, 2.4441, -2.4441, -2.4441],
    1074.175,
  ],
  ['C D E', ['0-1 9/8', '1-2 9/8', '0-2 5/4'], [3.2588, 0, -3.2588], 3 * 7.1688 ** 2],
  [
    'C E G A',
    ['0-1 5/4', '0-2 3/2', '0-3 5/3', '1-2 6/5', '1-3 4/3', '2-3 9/8'],
    [6.8431, -6.8431, 3.4216, -3.4216],
    231.26,
  ],
  [
    'C E G A with a minor tone',
    ['0-1 5/4', '0-2 3/2', '0-3 5/3', '1-2 6/5', '1-3 4/3', '2-3 10/9'],
    [6.8431, -6.8431, 8.7981, -8.7981],
    0,
  ],
];

describe('settleSprings', () => {
  test.each(ROWS)('the least-squares tuning is as published: %s', (_, wanted, expected, energy) => {
    const all = springs(...wanted);
    const x = settleSprings(expected.length, all, [], AT_HOME);
    expected.forEach((cents, i) => {
      expect(x[i]).toBeCloseTo(cents, 3);
    });
    expect(energyOf(x, all)).toBeCloseTo(energy, 2);
  });

  test('C6 has the fifth of quarter-comma meantone, and its major third is pure', () => {
    const all = springs('0-1 5/4', '0-2 3/2', '0-3 5/3', '1-2 6/5', '1-3 4/3', '2-3 9/8');
    const x = settleSprings(4, all, [], AT_HOME);
    // Handbook figures of quarter-comma meantone: fifth 696.578, whole tone 193.157; the pure third is 386.314.
    expect(700 + x[2] - x[0]).toBeCloseTo(696.578, 3);
    expect(200 + x[3] - x[2]).toBeCloseTo(193.157, 3);
    expect(400 + x[1] - x[0]).toBeCloseTo(386.3137, 4);
  });

  test('C7 with plain sizes has the meantone fifth, and a seventh of two fourths', () => {
    const all = springs('0-1 5/4', '0-2 3/2', '0-3 16/9', '1-2 6/5', '1-3 64/45', '2-3 6/5');
    const x = settleSprings(4, all, [], AT_HOME);
    [3.9103, -9.776, 0.4888, 5.3769].forEach((cents, i) => {
      expect(x[i]).toBeCloseTo(cents, 3);
    });
    expect(700 + x[2] - x[0]).toBeCloseTo(696.578, 2);
    expect(1000 + x[3] - x[0]).toBeCloseTo(1001.467, 2);
  });

  test('a chain of four fifths that a pure third closes shares the comma in five', () => {
    const all = springs('0-1 3/2', '1-2 3/2', '2-3 3/2', '3-4 3/2', '0-4 5/4');
    const x = settleSprings(5, all, [], AT_HOME);
    expect(700 + x[1] - x[0]).toBeCloseTo(697.6537, 4);
    expect(400 + x[4] - x[0]).toBeCloseTo(390.615, 3);
  });

  test('a pump that has to end where it began is off by a quarter of the comma at each move', () => {
    // I vi ii V I on one common tone each: 10/9 · 4/3 · 2/3 … its four moves multiply to 80/81.
    const moves = ['5/3', '4/3', '4/3', '4/3'].map((text) => toDeviationCents(ratio(text)));
    const all = moves.map((cents, i) => ({ from: i, to: (i + 1) % 4, cents, weight: 1 }));
    const x = settleSprings(4, all, [], AT_HOME);
    for (const { from, to, cents } of all) expect(Math.abs(x[to] - x[from] - cents)).toBeCloseTo(5.3766, 4);
  });

  const random = fc
    .record({
      count: fc.integer({ min: 2, max: 7 }),
      list: fc.array(
        fc.record({
          from: fc.nat(6),
          to: fc.nat(6),
          cents: fc.integer({ min: -40, max: 40 }),
          weight: fc.integer({ min: 1, max: 9 }),
        }),
        { minLength: 1, maxLength: 20 },
      ),
    })
    .map(({ count, list }) => ({
      count,
      list: list
        .map((one) => ({ ...one, from: one.from % count, to: one.to % count }))
        .filter(({ from, to }) => from !== to),
    }));

  test('no tuning near the least-squares one has less error', () => {
    forAll([random, fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 7 })], ({ count, list }, by) => {
      const x = settleSprings(count, list, [], AT_HOME);
      const moved = x.map((cents, i) => cents + by[i] / 10);
      expect(energyOf(x, list)).toBeLessThanOrEqual(energyOf(moved, list) + 1e-4);
    });
  });

  test('only the proportion of weights counts, and permuted notes have the permuted answer', () => {
    forAll([random], ({ count, list: some }) => {
      // All hang together, so that nothing is left to chance.
      const chain = Array.from({ length: count - 1 }, (_, i) => ({
        from: i,
        to: i + 1,
        cents: 5,
        weight: 1,
      }));
      const list = [...some, ...chain];
      const tie = { at: 0, cents: 3, weight: 1 };
      const x = settleSprings(count, list, [tie], AT_HOME);
      const doubled = settleSprings(
        count,
        list.map((one) => ({ ...one, weight: 2 * one.weight })),
        [{ ...tie, weight: 2 }],
        { cents: 0, weight: 2 },
      );
      const turn = (i: number) => (i + 1) % count;
      const turned = settleSprings(
        count,
        list.map((one) => ({ ...one, from: turn(one.from), to: turn(one.to) })),
        [{ ...tie, at: turn(0) }],
        AT_HOME,
      );
      x.forEach((cents, i) => {
        expect(doubled[i]).toBeCloseTo(cents, 5);
        expect(turned[turn(i)]).toBeCloseTo(cents, 5);
      });
    });
  });
});
