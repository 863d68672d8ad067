/**
 * The version of the feed. It increases when a viewer for the version before would misread something. New fields don't
 * count, since viewers ignore unknown ones.
 */
export const FEED_VERSION = 5;

/** Most frames a second. */
export const FRAMES_PER_SECOND = 30;

/** Every bound of the feed, in both directions. A message beyond any bound is refused whole. */
export const LIMITS = {
  /** A message to the server, in bytes. */
  upstreamBytes: 4096,
  /** A message to a viewer, in characters: a snapshot with everything at its longest. */
  downstreamCharacters: 400_000,
  /** Any text, in characters. */
  text: 200,
  /** Names of pieces, ports and files. */
  name: 80,
  token: 128,
  /** Notes of a frame; further sounding notes are counted. */
  notes: 64,
  entries: 120,
  /** Moments of the recent drift curves in a snapshot, and their time span. */
  driftCurve: 1200,
  driftCurveMs: 600_000,
  /** Restarts of a loop in a snapshot. */
  passes: 64,
  /** Chords of a piece, and its bar lines: later ones are left out. */
  chords: 1500,
  bars: 1000,
  /** Steps of a story. */
  steps: 64,
  /** A formula of chords, in characters. */
  formula: 200,
  /** Pieces to choose from, and ports in use. */
  pieces: 64,
  ports: 32,
  /** Addresses for onlookers. */
  addresses: 8,
  /** A MIDI file sent from the page: its size, and the size of a part, both in bytes. */
  fileBytes: 1_048_576,
  filePartBytes: 2700,
  /** Exponents of primes, cents, and milliseconds since the session began: far beyond what music reaches. */
  exponent: 1_000_000,
  cents: 10_000_000,
  ms: 1e12,
  count: 1e12,
} as const;

/** Most parts of a file. */
export const MAX_FILE_PARTS = Math.ceil(LIMITS.fileBytes / LIMITS.filePartBytes);

/** The range of a number a viewer may send. */
export interface FeedRange {
  readonly least: number;
  readonly most: number;
}

/** How fast a piece may be played, in times its written tempo. */
export const TEMPO_RANGE: FeedRange = { least: 0.25, most: 4 };

/**
 * A number rounded to a thousandth, never -0, as the feed carries cents and milliseconds. NaN stays NaN.
 * @example toThousandth(-13.68628)  // -13.686
 */
export function toThousandth(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}

/**
 * A text cut to a bound, with a mark where it was cut.
 *
 * @param most at least 1, in UTF-16 units; the mark counts
 * @example toLength('abcdef', 4)  // 'abc…'
 */
export function toLength(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1)}…`;
}
