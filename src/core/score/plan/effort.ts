/** How much a plan looks at. The more, the nearer the best; the time grows with `width`, and with `steps` in clusters. */
export interface Effort {
  /** Ways of tuning the piece so far that are kept after each strike. */
  readonly width: number;
  /** Choices of one strike that each of them is carried on with; at least 2. */
  readonly fan: number;
  /** A way dearer than the cheapest by more than this is given up. */
  readonly slack: number;
  /** Places tried for the keys of one strike, so that no cluster takes long. */
  readonly steps: number;
}

/** As much as is looked at: ten times as much finds what is a ten-thousandth cheaper in real music. */
export const STOCK_EFFORT: Effort = { width: 24, fan: 12, slack: 60, steps: 4000 };
