import type { SoundingNote } from './note.js';
import type { TunerSettings } from './settings.js';

/**
 * The common offset: what is added to everything that sounds, to bring it home or let it drift.
 *
 * New notes take it at once. A tied note that shall follow keeps its pitch at the moment of the move and makes up for
 * it over the glide time; one that shall stay never does. Either way its `lagCents` says how far behind it is.
 */
export interface CommonOffset {
  cents: number;
  /** Where it stood before the running strike: revisions start from there, so the order of fingers doesn't matter. */
  strikeBaseCents: number;
  /**
   * How far everything that goes along is behind it, in cents: while tied notes glide, new ones start where these are and
   * glide with them, so that the harmony is pure all the while. And how far it was when the running glide began.
   */
  lagCents: number;
  lagFromCents: number;
  /** Start of the running glide, and how long it takes until every lag is 0. -Infinity when none runs. */
  glideFromMs: number;
  glideMs: number;
  /** When the last glide began, running or over. */
  lastGlideMs: number;
}

/** An offset at rest at 0. */
export function createOffset(): CommonOffset {
  return {
    cents: 0,
    strikeBaseCents: 0,
    lagCents: 0,
    lagFromCents: 0,
    glideFromMs: -Infinity,
    glideMs: 0,
    lastGlideMs: -Infinity,
  };
}

/**
 * How much a mean at `meanCents` must move to be inside the band of `leewayCents`: the least that does it.
 * @example toReturnCents(21.5, 8) // -13.5
 * @example toReturnCents(-3, 8)   // 0
 */
export function toReturnCents(meanCents: number, leewayCents: number): number {
  if (meanCents > leewayCents) return leewayCents - meanCents;
  if (meanCents < -leewayCents) return -leewayCents - meanCents;
  return 0;
}

/**
 * Moves the common offset. Where nothing is tied, all go along at once. Tied notes keep their pitch and lag behind; when they
 * are to follow, a glide begins, and new notes make it with them.
 *
 * @param isLeaving where the piece is known: which tied notes are about to end, and keep their pitch
 * @returns whether any note lags behind now
 */
export function moveOffset(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  cents: number,
  atMs: number,
  isLeaving?: (note: Readonly<SoundingNote>) => boolean,
): boolean {
  offset.cents += cents;
  const follows = settings.held === 'follow';
  const isTied = notes.some(({ settled }) => settled);
  if (!isTied) return false;
  if (follows) offset.lagCents -= cents;
  for (const note of notes) {
    if (!note.settled) continue;
    note.lagCents -= cents;
    if (!follows) {
      note.leanCents -= cents;
      note.lagFromCents -= cents;
    }
    if (follows && isLeaving?.(note) === true) note.leanCents = note.lagCents;
  }
  if (follows) beginGlide(offset, notes, settings.glideMs, atMs);
  return true;
}

/** Begins a glide: from where each note lags now to where it leans. */
export function beginGlide(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  glideMs: number,
  atMs: number,
): void {
  for (const note of notes) note.lagFromCents = note.lagCents;
  offset.lagFromCents = offset.lagCents;
  offset.glideFromMs = atMs;
  offset.lastGlideMs = atMs;
  offset.glideMs = glideMs;
}

/** Brings every lag to where it has to be at `atMs`: to its note's lean, when the time of the glide is over. */
export function glide(offset: CommonOffset, notes: readonly SoundingNote[], atMs: number): void {
  const left = offset.glideMs <= 0 ? 0 : Math.max(0, 1 - (atMs - offset.glideFromMs) / offset.glideMs);
  for (const note of notes) note.lagCents = note.leanCents + (note.lagFromCents - note.leanCents) * left;
  offset.lagCents = offset.lagFromCents * left;
  if (left === 0) offset.glideFromMs = -Infinity;
}

/**
 * One step of the pull: everything that follows moves along with the offset, what stays falls behind by as much.
 *
 * @param meanCents how far the mean of what sounds stands from home
 * @returns how far the offset moved, in cents; 0 when the mean is inside the band
 */
export function pull(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  meanCents: number,
  stepMs: number,
): number {
  const wanted = toReturnCents(meanCents, settings.leewayCents);
  const most = (settings.rateCentsPerSecond * stepMs) / 1000;
  const cents = Math.max(-most, Math.min(most, wanted));
  offset.cents += cents;
  if (settings.held === 'stay' && cents !== 0) {
    for (const note of notes) {
      if (!note.settled) continue;
      note.lagCents -= cents;
      note.lagFromCents -= cents;
      note.leanCents -= cents;
    }
  }
  return cents;
}
