/**
 * What the page of a comparison is given: one piece, and how each of its notes sounds in every version. It travels
 * inside the page, as JSON.
 */
export interface ComparisonSheet {
  readonly lengthMs: number;
  /** Shown first and last, left to right. */
  readonly versions: readonly { readonly name: string; readonly title: string }[];
  /** In the order they were struck. */
  readonly notes: readonly ComparedNote[];
}

/** One note in all versions. */
export interface ComparedNote {
  readonly onMs: number;
  readonly offMs: number;
  /**
   * One for each version, in their order: milliseconds from `onMs` and cents, by turns, with a straight line from each
   * point to the next; 6900 is A at 440 Hz.
   */
  readonly pitch: readonly (readonly number[])[];
}
