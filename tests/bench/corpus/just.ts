/**
 * Just sizes of written consonances, octaves folded, by how many fifths the upper note lies above the lower: the unison,
 * the fifth, the major sixth and the major third. Fewer than none is the inversion, and its size the same downward.
 */
export const JUST_BY_FIFTHS: ReadonlyMap<number, number> = new Map([
  [0, 0],
  [1, 1200 * Math.log2(3 / 2)],
  [3, 1200 * Math.log2(5 / 3)],
  [4, 1200 * Math.log2(5 / 4)],
]);

/** Just sizes by keys, within an octave: 16/15, 9/8, 6/5, 5/4, 4/3, 45/32 and their inversions; 9/5 is the minor seventh. */
export const INTERVALS_5_LIMIT_CENTS: readonly number[] = [
  1,
  16 / 15,
  9 / 8,
  6 / 5,
  5 / 4,
  4 / 3,
  45 / 32,
  3 / 2,
  8 / 5,
  5 / 3,
  9 / 5,
  15 / 8,
].map((ratio) => 1200 * Math.log2(ratio));

/** Cents to the nearest octave, -600 to 600. */
export function foldCents(cents: number): number {
  return ((((cents + 600) % 1200) + 1200) % 1200) - 600;
}
