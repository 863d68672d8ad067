/** How a sheet is drawn: black on white, so that it can be copied; all lengths in its own units. */
export const PEN = {
  ink: '#111111',
  faint: '#555555',
  rule: '#9a9a9a',
  paper: '#ffffff',
  /** From a line of the staff to the next space. */
  step: 8,
  /** Sizes of words. */
  name: 17,
  ratio: 15,
  small: 13,
  /** From one row of words to the next, at least. */
  row: 19,
  head: { radiusX: 8, radiusY: 6.4 },
} as const;

/** A sheet is no wider than this unless its paper is narrower or one chord is wider: A4 in landscape. */
export const SHEET_WIDTH = 1180;
