import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CourseStep, findCourse } from '../../../../src/core/score/plan/offset-path.js';

const cents = fc.double({ min: -200, max: 200, noNaN: true });
const weight = fc.double({ min: 0.01, max: 100, noNaN: true });
const wish = fc.record({ homeCents: cents, homeWeight: weight, moveCents: cents, moveWeight: weight });

/** It may stand anywhere. */
const ANYWHERE = { leastCents: -Infinity, mostCents: Infinity };

/** A moment with bounds: some as narrow as a point, some wide. */
const bounded: fc.Arbitrary<CourseStep> = fc
  .tuple(wish, fc.double({ min: -60, max: 60, noNaN: true }), fc.constantFrom(0, 3, 16, 50))
  .map(([step, leastCents, width]) => ({ ...step, leastCents, mostCents: leastCents + width }));

/** The same least-squares problem by its normal equations, all of them, and Gaussian elimination with pivoting. */
function toRows(steps: readonly CourseStep[]): number[][] {
  const size = steps.length;
  const rows = steps.map(() => new Array<number>(size + 1).fill(0));
  const add = (coefficients: readonly [number, number][], wanted: number, its: number) => {
    for (const [i, a] of coefficients) {
      for (const [j, b] of coefficients) rows[i][j] += its * a * b;
      rows[i][size] += its * a * wanted;
    }
  };
  steps.forEach(({ homeCents, homeWeight, moveCents, moveWeight }, i) => {
    add([[i, 1]], homeCents, homeWeight);
    if (i > 0)
      add(
        [
          [i, 1],
          [i - 1, -1],
        ],
        moveCents,
        moveWeight,
      );
  });
  return rows;
}

function eliminate(rows: number[][]): number[] {
  const size = rows.length;
  for (let i = 0; i < size; i++) {
    let pivot = i;
    for (let row = i + 1; row < size; row++)
      if (Math.abs(rows[row][i]) > Math.abs(rows[pivot][i])) pivot = row;
    [rows[i], rows[pivot]] = [rows[pivot], rows[i]];
    for (let row = 0; row < size; row++) {
      if (row === i) continue;
      const factor = rows[row][i] / rows[i][i];
      for (let column = i; column <= size; column++) rows[row][column] -= factor * rows[i][column];
    }
  }
  return rows.map((row, i) => row[size] / row[i]);
}

/**
 * The best course within bounds, by trying everything: each moment free, on its lower or on its upper bound, the free ones
 * solved for, and of all that keep their bounds the cheapest.
 */
function tryAllBounds(steps: readonly CourseStep[]): number[] {
  const size = steps.length;
  const rows = toRows(steps);
  let least = Infinity;
  let best: number[] = [];
  for (let code = 0; code < 3 ** size; code++) {
    const at = steps.map((_, i) => Math.floor(code / 3 ** i) % 3);
    const course = steps.map(({ leastCents, mostCents }, i) => [0, leastCents, mostCents][at[i]]);
    const free = steps.flatMap((_, i) => (at[i] === 0 ? [i] : []));
    const reduced = free.map((i) => [
      ...free.map((j) => rows[i][j]),
      rows[i].slice(0, size).reduce((sum, a, j) => sum - (at[j] === 0 ? 0 : a * course[j]), rows[i][size]),
    ]);
    eliminate(reduced).forEach((value, k) => {
      course[free[k]] = value;
    });
    const isWithin = course.every(
      (value, i) => value >= steps[i].leastCents - 1e-9 && value <= steps[i].mostCents + 1e-9,
    );
    const cost = isWithin ? toCost(steps, course) : Infinity;
    if (cost < least) {
      least = cost;
      best = course;
    }
  }
  return best;
}

function toCost(steps: readonly CourseStep[], course: ArrayLike<number>): number {
  return steps.reduce((sum, { homeCents, homeWeight, moveCents, moveWeight }, i) => {
    const move = i === 0 ? 0 : moveWeight * (course[i] - course[i - 1] - moveCents) ** 2;
    return sum + homeWeight * (course[i] - homeCents) ** 2 + move;
  }, 0);
}

describe('the course', () => {
  it('is what a dense solver finds, to 1e-9', () => {
    fc.assert(
      fc.property(fc.array(wish, { minLength: 1, maxLength: 30 }), (wishes) => {
        const steps = wishes.map((step) => ({ ...step, ...ANYWHERE }));
        const course = findCourse(steps);
        eliminate(toRows(steps)).forEach((value, i) => {
          expect(Math.abs(course[i] - value)).toBeLessThan(1e-9);
        });
      }),
    );
  });

  it('within bounds is what trying every set of bounds finds, to 1e-6', () => {
    fc.assert(
      fc.property(fc.array(bounded, { minLength: 1, maxLength: 6 }), (steps) => {
        const course = findCourse(steps);
        tryAllBounds(steps).forEach((value, i) => {
          expect(Math.abs(course[i] - value)).toBeLessThan(1e-6);
        });
      }),
    );
  });

  it('keeps its bounds to the last bit, however long, and no single moment could stand better', () => {
    fc.assert(
      fc.property(fc.array(bounded, { minLength: 1, maxLength: 300 }), (steps) => {
        const course = findCourse(steps);
        const cost = toCost(steps, course);
        course.forEach((value, i) => {
          const { leastCents, mostCents } = steps[i];
          expect(value).toBeGreaterThanOrEqual(leastCents);
          expect(value).toBeLessThanOrEqual(mostCents);
          for (const by of [-0.01, 0.01]) {
            const moved = course.map((other, j) =>
              j === i ? Math.max(leastCents, Math.min(mostCents, other + by)) : other,
            );
            expect(toCost(steps, moved)).toBeGreaterThanOrEqual(cost - 1e-9 * cost);
          }
        });
      }),
    );
  });

  it('goes straight through bounds that walk away, if nothing else is wished', () => {
    const steps = Array.from({ length: 1000 }, (_, i) => ({
      homeCents: 0,
      homeWeight: 0,
      moveCents: 0,
      moveWeight: 10,
      leastCents: -4 * i - 8,
      mostCents: -4 * i + 8,
    }));
    // From the lower bound of the first to the upper bound of the last.
    findCourse(steps).forEach((value, i) => {
      expect(value).toBeCloseTo(-8 - (3980 / 999) * i, 6);
    });
  });

  it('stands between two homes as their weights and the move between them ask', () => {
    const at = { homeWeight: 1, moveCents: 0, moveWeight: 1, ...ANYWHERE };
    const course = findCourse([
      { ...at, homeCents: 0 },
      { ...at, homeCents: 10 },
    ]);
    expect(course[0]).toBeCloseTo(10 / 3, 7);
    expect(course[1]).toBeCloseTo(20 / 3, 7);
    const bound = findCourse([
      { ...at, homeCents: 0 },
      { ...at, homeCents: 10, mostCents: 5 },
    ]);
    expect(bound[0]).toBeCloseTo(2.5, 9);
    expect(bound[1]).toBe(5);
  });

  it('stands still where only one moment has a wish', () => {
    const quiet = { homeCents: 0, homeWeight: 0, moveCents: 0, moveWeight: 0, ...ANYWHERE };
    const course = findCourse([quiet, { ...quiet, homeCents: 12, homeWeight: 3 }, quiet, quiet]);
    for (const value of course) expect(value).toBeCloseTo(12, 6);
  });

  it('is at home everywhere where moves cost nothing, and nowhere but at the mean where they cost all', () => {
    const homes = [3, -7, 10, 2];
    const at = (moveWeight: number) =>
      findCourse(
        homes.map((homeCents) => ({ homeCents, homeWeight: 1, moveCents: 0, moveWeight, ...ANYWHERE })),
      );
    at(0).forEach((value, i) => {
      expect(value).toBeCloseTo(homes[i], 6);
    });
    for (const value of at(1e7)) expect(value).toBeCloseTo(2, 4);
  });

  it('ends at 0 where no moment has a home, and moves as it should', () => {
    const lost = { homeCents: 50, homeWeight: 0, moveCents: 20, moveWeight: 0, ...ANYWHERE };
    expect([...findCourse([lost, lost])]).toEqual([-20, 0]);
    expect([...findCourse([lost])]).toEqual([0]);
  });

  it('of nothing is nothing', () => {
    expect(findCourse([])).toHaveLength(0);
  });
});
