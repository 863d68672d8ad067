/** A wanted difference: `x[to] − x[from]` should be `cents`. */
export interface Spring {
  readonly from: number;
  readonly to: number;
  readonly cents: number;
  readonly weight: number;
}

/** A wanted place: `x[at]` should be `cents`. */
export interface Tie {
  readonly at: number;
  readonly cents: number;
  readonly weight: number;
}

/** A wanted mean of all x, in cents. */
export interface Level {
  readonly cents: number;
  readonly weight: number;
}

/** Weight that fixes what nothing else fixes; on the rest it moves a millionth of a cent. */
const HAIR = 1e-9;

/**
 * The pitches at which a set of springs comes to rest: those that minimise the weighted sum of squares of the errors,
 *
 *     Σ w (x_to − x_from − c)²  +  Σ w (x_at − c)²  +  w (mean x − c)².
 *
 * A system of linear equations, symmetric and positive, solved by elimination. Pitches that no spring binds stay at 0.
 *
 * @param count how many pitches, as index 0 to count − 1
 * @returns the pitches, in cents
 * @example
 * const third = { from: 0, to: 1, cents: -13.686, weight: 1 };
 * const minorThird = { from: 1, to: 2, cents: 15.641, weight: 1 };
 * const fifth = { from: 0, to: 2, cents: 1.955, weight: 1 };
 * settleSprings(3, [third, minorThird, fifth], [], { cents: 0, weight: 1 })  // [3.91, -9.78, 5.87]: C E G pure, from equal
 */
export function settleSprings(
  count: number,
  springs: readonly Spring[],
  ties: readonly Tie[],
  level: Level,
): Float64Array {
  const rows = Array.from({ length: count }, () => new Float64Array(count).fill(level.weight / count ** 2));
  const wanted = new Float64Array(count).fill((level.weight * level.cents) / count);
  for (let i = 0; i < count; i++) rows[i][i] += HAIR;
  for (const { at, cents, weight } of ties) {
    rows[at][at] += weight;
    wanted[at] += weight * cents;
  }
  for (const { from, to, cents, weight } of springs) {
    rows[from][from] += weight;
    rows[to][to] += weight;
    rows[from][to] -= weight;
    rows[to][from] -= weight;
    wanted[to] += weight * cents;
    wanted[from] -= weight * cents;
  }
  return solvePositive(rows, wanted);
}

/** Solves rows · x = wanted in place by Gaussian elimination; a positive matrix needs no pivots. */
function solvePositive(rows: readonly Float64Array[], wanted: Float64Array): Float64Array {
  const size = wanted.length;
  for (let k = 0; k < size; k++) {
    for (let i = k + 1; i < size; i++) {
      const factor = rows[i][k] / rows[k][k];
      for (let j = k; j < size; j++) rows[i][j] -= factor * rows[k][j];
      wanted[i] -= factor * wanted[k];
    }
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let j = i + 1; j < size; j++) wanted[i] -= rows[i][j] * wanted[j];
    wanted[i] /= rows[i][i];
  }
  return wanted;
}
