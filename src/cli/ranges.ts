/** The numbers a user may give, whatever way they are given. */
export interface NumberRange {
  readonly least: number;
  readonly most: number;
  /** What the number counts, in the plural. */
  readonly unit: string;
  readonly whole: boolean;
}

/** Bounds of every number, under the name of its option or key. */
export const RANGES = {
  leeway: { least: 0, most: 600, unit: 'cents', whole: false },
  rate: { least: 0.1, most: 100, unit: 'cents a second', whole: false },
  recall: { least: 0, most: 50, unit: 'cents', whole: false },
  glide: { least: 0, most: 2000, unit: 'milliseconds', whole: false },
  'strike-window': { least: 0, most: 200, unit: 'milliseconds', whole: false },
  smooth: { least: 0, most: 1000, unit: 'seconds', whole: false },
  'bend-range': { least: 1, most: 96, unit: 'semitones', whole: true },
  channel: { least: 1, most: 16, unit: 'channels', whole: true },
  members: { least: 1, most: 15, unit: 'member channels', whole: true },
  'release-hold': { least: 0, most: 10_000, unit: 'milliseconds', whole: false },
  fuse: { least: 100, most: 100_000, unit: 'messages a second', whole: true },
  // 120 to 127 are channel mode messages, such as All Notes Off: they must pass.
  controller: { least: 0, most: 119, unit: 'controllers', whole: true },
  key: { least: 0, most: 127, unit: 'keys', whole: true },
  program: { least: 1, most: 128, unit: 'programs', whole: true },
  gain: { least: -60, most: 60, unit: 'decibels', whole: false },
  passes: { least: 1, most: 1000, unit: 'passes', whole: true },
  seconds: { least: 0.1, most: 60, unit: 'seconds', whole: false },
  piece: { least: 1, most: 65_535, unit: 'pieces', whole: true },
  jobs: { least: 1, most: 256, unit: 'files side by side', whole: true },
  bar: { least: 1, most: 1_000_000, unit: 'bars', whole: true },
} as const satisfies Record<string, NumberRange>;

/** @example formatRange(RANGES.leeway)  // 'a number from 0 to 600 (cents)' */
export function formatRange({ least, most, unit, whole }: NumberRange): string {
  return `a ${whole ? 'whole ' : ''}number from ${least} to ${most} (${unit})`;
}
