import type { PassFact, PlayingFact, ScoreFact } from '../../core/protocol/index.js';

/** A chord counts as reached this long before it is due: positions are rounded. */
const EARLY_MS = 6;

/** A place in a piece: its pass, and milliseconds as written. */
export interface Place {
  readonly pass: number;
  readonly value: number;
}

/** Index of the chord that sounds at a position; -1 before the first. */
export function findChord(score: ScoreFact, positionMs: number): number {
  return score.chords.findLastIndex(({ atMs }) => atMs <= positionMs + EARLY_MS);
}

/** The bar around a position; undefined where the piece has no bars. */
export function findBar(
  { barsMs }: Pick<ScoreFact, 'barsMs'>,
  positionMs: number,
  lengthMs: number,
): { fromMs: number; toMs: number } | undefined {
  const i = barsMs.findLastIndex((atMs) => atMs <= positionMs + EARLY_MS);
  return i < 0 ? undefined : { fromMs: barsMs[i], toMs: barsMs[i + 1] ?? lengthMs };
}

/**
 * The place in the piece that sounded at a time of the session; undefined where none did.
 *
 * @param seconds on the session's clock, as on the chart
 */
export function toPlaceAt(
  seconds: number,
  passes: readonly PassFact[],
  { tempo, fromMs, toMs }: Pick<PlayingFact, 'tempo' | 'fromMs' | 'toMs'>,
): Place | undefined {
  const pass = passes.findLast(({ atMs }) => atMs <= 1000 * seconds);
  if (pass === undefined) return undefined;
  const value = Math.min(toMs, fromMs + (1000 * seconds - pass.atMs) * tempo);
  return { pass: pass.n, value: Math.round(value) };
}
