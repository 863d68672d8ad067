import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CourseStep, findCourse } from '../../../../src/core/score/plan/offset-path.js';

const cents = fc.double({ min: -200, max: 200, noNaN: true });
const weight = fc.double({ min: 0.01, max: 100, noNaN: true });
const step: fc.Arbitrary<CourseStep> = fc.record({
  homeCents: cents,
  homeWeight: weight,
  moveCents: cents,
  moveWeight: weight,
});

/** The same least-squares problem by its normal equations, all of them, and Gaussian elimination with pivoting. */
function solveDense(steps: readonly CourseStep[]): number[] {
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

describe('the course', () => {
  it('is what a dense solver finds, to 1e-9', () => {
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 30 }), (steps) => {
        const course = findCourse(steps);
        solveDense(steps).forEach((value, i) => {
          expect(Math.abs(course[i] - value)).toBeLessThan(1e-9);
        });
      }),
    );
  });

  it('stands between two homes as their weights and the move between them ask', () => {
    const at = { homeWeight: 1, moveCents: 0, moveWeight: 1 };
    const course = findCourse([
      { ...at, homeCents: 0 },
      { ...at, homeCents: 10 },
    ]);
    expect(course[0]).toBeCloseTo(10 / 3, 7);
    expect(course[1]).toBeCloseTo(20 / 3, 7);
  });

  it('stands still where only one moment has a wish', () => {
    const quiet = { homeCents: 0, homeWeight: 0, moveCents: 0, moveWeight: 0 };
    const course = findCourse([quiet, { ...quiet, homeCents: 12, homeWeight: 3 }, quiet, quiet]);
    for (const value of course) expect(value).toBeCloseTo(12, 6);
  });

  it('is at home everywhere where moves cost nothing, and nowhere but at the mean where they cost all', () => {
    const homes = [3, -7, 10, 2];
    const at = (moveWeight: number) =>
      findCourse(homes.map((homeCents) => ({ homeCents, homeWeight: 1, moveCents: 0, moveWeight })));
    at(0).forEach((value, i) => {
      expect(value).toBeCloseTo(homes[i], 6);
    });
    for (const value of at(1e7)) expect(value).toBeCloseTo(2, 4);
  });

  it('ends at 0 where no moment has a home, and moves as it should', () => {
    const lost = { homeCents: 50, homeWeight: 0, moveCents: 20, moveWeight: 0 };
    expect([...findCourse([lost, lost])]).toEqual([-20, 0]);
    expect([...findCourse([lost])]).toEqual([0]);
  });

  it('of nothing is nothing', () => {
    expect(findCourse([])).toHaveLength(0);
  });
});
