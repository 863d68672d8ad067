import type { MidiFile } from '../../core/midi/index.js';
import { formatComma, formatPower, formatRatio } from '../../core/theory/index.js';
import { explain, namePoint } from '../explain.js';
import type { Comparison } from './versions.js';

/** One chord of the piece: what it is, and where it stands in each version. */
export interface ChordRow {
  readonly atMs: number;
  /** Bar and beat as people count: "3.2½" is told as 3 and 2.5. */
  readonly bar: number;
  readonly beat: number;
  /** Notes with comma marks from the lowest up, and their ratios to it. */
  readonly names: readonly string[];
  readonly ratios: readonly string[];
  /** The drift so far, exactly and as commas. */
  readonly drift: string;
  readonly commas: string;
  /** How far the chord as a body stands from home in each version, in their order; null where nothing is known. */
  readonly fromHomeCents: readonly (number | null)[];
}

/**
 * The chords of a piece as the chosen strategy tunes them, a row each.
 *
 * @param file of format 0 or 1
 */
export function toChordRows(file: MidiFile, { settings, planning, versions }: Comparison): ChordRow[] {
  const [{ moments, tuner }] = explain(file, settings, planning);
  return moments.map(({ atMs, bar, beat, notes, drift }) => ({
    atMs,
    bar,
    beat,
    names: notes.map(({ point, key }) => namePoint(tuner, point, key)),
    ratios: notes.map(({ fromBass }) => formatRatio(fromBass)),
    drift: formatPower(drift),
    commas: formatComma(drift),
    fromHomeCents: versions.map(({ course }) => {
      const width = course.atMs[0] * 2;
      // A little after the strike: by then its glides are over.
      const row = Math.min(course.atMs.length - 1, Math.floor((atMs + width / 2 + 80) / width));
      return course.bodyCents[row] ?? null;
    }),
  }));
}
