import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { findOffsetPath, type OffsetStep } from '../../../../src/core/score/plan/offset-path.js';
import { numbers } from '../../../support/numbers.js';
import { forAll } from '../../../support/properties.js';

const cents = fc.double({ min: -20, max: 20, noNaN: true });
const weight = fc.oneof(fc.constant(0), fc.double({ min: 0.01, max: 100, noNaN: true }));

function steps(widest: number, most: number): fc.Arbitrary<OffsetStep[]> {
  const step = fc
    .record({
      leastCents: fc.double({ min: -3, max: 3, noNaN: true }),
      width: fc.oneof(fc.constant(0), fc.double({ min: 0, max: widest, noNaN: true })),
      homeCents: cents,
      homeWeight: weight,
      moves: fc.array(fc.record({ cents: fc.constantFrom(0, 2.5, -21.5), weight }), { maxLength: 2 }),
    })
    .map(({ leastCents, width, ...rest }) => ({ ...rest, leastCents, mostCents: leastCents + width }));
  return fc.array(step, { minLength: 1, maxLength: most });
}

/** By its definition: the square of the distance from home, and what is elsewhere, and heard to be. */
function toCost(path: ArrayLike<number>, among: readonly OffsetStep[]): number {
  return among.reduce((sum, { homeCents, homeWeight, moves }, i) => {
    const home = homeWeight * (path[i] - homeCents) ** 2;
    if (i === 0) return sum + home;
    const moved = moves.map((move) => {
      const off = Math.abs(path[i] - path[i - 1] - move.cents);
      return move.weight * (Math.min(off ** 2, 1) + 2 * Math.min(off ** 2 / 25, 1) + off ** 2 / 100);
    });
    return sum + home + moved.reduce((a, b) => a + b, 0);
  }, 0);
}

/** The least cost of all courses over places half a cent apart from the first home, the bounds, and home. */
function tryAll(among: readonly OffsetStep[], i = 0, path: readonly number[] = []): number {
  if (i === among.length) return toCost(path, among);
  const { leastCents, mostCents, homeCents } = among[i];
  const places = [leastCents, mostCents];
  if (homeCents > leastCents && homeCents < mostCents) places.push(homeCents);
  for (let at = -100; at <= 100; at++) {
    const place = among[0].homeCents + at / 2;
    if (place > leastCents && place < mostCents) places.push(place);
  }
  return Math.min(...places.map((place) => tryAll(among, i + 1, [...path, place])));
}

/** Where it may stand for all anybody cares. */
const WIDE = { leastCents: -16, mostCents: 16 };
const QUIET = { ...WIDE, homeCents: 0, homeWeight: 0, moves: [] };

describe('the offset path', () => {
  test('is the cheapest of all over its places', () => {
    forAll([steps(2.5, 4)], (among) => {
      expect(toCost(findOffsetPath(among), among)).toBeCloseTo(tryAll(among), 9);
    });
  });

  test('is within its bounds to the last bit, however long it is', () => {
    forAll([steps(40, 100)], (among) => {
      findOffsetPath(among).forEach((value, i) => {
        expect(value).toBeGreaterThanOrEqual(among[i].leastCents);
        expect(value).toBeLessThanOrEqual(among[i].mostCents);
      });
    });
  });

  test('does not move as long as it may stay, and then moves at once as far as it must', () => {
    const still = { homeCents: 0, homeWeight: 1e-3, moves: [{ cents: 0, weight: 10 }] };
    const bounds: [number, number][] = numbers('0 3, 0 3, 2 5, 1 4');
    const among = bounds.map(([leastCents, mostCents]) => ({ ...still, leastCents, mostCents }));
    expect([...findOffsetPath(among)]).toEqual([2, 2, 2, 2]);
    const far = [...among, { ...still, leastCents: 12, mostCents: 15 }];
    expect([...findOffsetPath(far)]).toEqual([3, 3, 3, 3, 12]);
  });

  test('moves as it is wished', () => {
    const path = findOffsetPath([
      { ...QUIET, homeWeight: 1 },
      { ...QUIET, moves: [{ cents: 2.5, weight: 10 }] },
      { ...QUIET, moves: [{ cents: -4, weight: 10 }] },
    ]);
    expect([...path]).toEqual([0, 2.5, -1.5]);
  });

  test('is at home everywhere, exactly, where moves cost nothing', () => {
    const homes = [3.3, -7.1, 10.7, 2];
    const path = findOffsetPath(homes.map((homeCents) => ({ ...QUIET, homeCents, homeWeight: 1 })));
    expect([...path]).toEqual(homes);
  });

  test('is less fine between wide bounds, and may stay where it is all the same', () => {
    const wide = { leastCents: -600, mostCents: 600 };
    const path = findOffsetPath([
      { ...QUIET, ...wide, homeCents: 7.3, homeWeight: 1 },
      { ...QUIET, ...wide, homeCents: 50, homeWeight: 1e-6, moves: [{ cents: 0, weight: 1 }] },
    ]);
    expect(path[1]).toBe(7.3);
  });

  test('is empty without strikes', () => expect(findOffsetPath([])).toHaveLength(0));
});
