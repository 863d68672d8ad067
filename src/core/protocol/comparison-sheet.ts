/**
 * The data of a comparison page: one piece, and how each of its notes sounds in every version. It is inside the page,
 * as JSON.
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
   * One for each version, in their order: alternating milliseconds from `onMs` and cents, joined by straight lines;
   * 6900 is A at 440 Hz.
   */
  readonly pitch: readonly (readonly number[])[];
}
