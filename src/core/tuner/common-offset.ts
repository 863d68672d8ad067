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
  /** Start of the running glide; `glideMs` later every lag is 0. -Infinity when none runs. */
  glideFromMs: number;
}

/** An offset at rest at 0. */
export function createOffset(): CommonOffset {
  return { cents: 0, strikeBaseCents: 0, glideFromMs: -Infinity };
}

/**
 * How far the given notes as a body stand from home, in cents: the mean of their distances, each taken where it will
 * stand when its glide is over. 0 for no notes.
 */
export function toBodyCents(
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  offsetCents: number,
): number {
  if (notes.length === 0) return 0;
  let sum = 0;
  for (const note of notes) sum += note.deviationCents - settings.home.deviationCents(note.keyClass);
  return sum / notes.length + offsetCents;
}

/**
 * How much a body at `bodyCents` must move to be inside the band of `leewayCents`: the least that does it.
 * @example toReturnCents(21.5, 8) // -13.5
 * @example toReturnCents(-3, 8)   // 0
 */
export function toReturnCents(bodyCents: number, leewayCents: number): number {
  if (bodyCents > leewayCents) return leewayCents - bodyCents;
  if (bodyCents < -leewayCents) return -leewayCents - bodyCents;
  return 0;
}

/**
 * Moves the common offset. Unsettled notes go along at once; settled ones keep their pitch and lag behind, and when
 * they are to follow a glide begins.
 */
export function moveOffset(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  cents: number,
  atMs: number,
): void {
  offset.cents += cents;
  let lagging = false;
  for (const note of notes) {
    if (!note.settled) continue;
    note.lagCents -= cents;
    note.lagFromCents = note.lagCents;
    lagging ||= note.lagCents !== 0;
  }
  if (settings.held === 'follow' && lagging) offset.glideFromMs = atMs;
}

/** Brings every lag to where it has to be at `atMs`: to its note's lean, when the time of the glide is over. */
export function glide(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  atMs: number,
): void {
  const left = settings.glideMs <= 0 ? 0 : Math.max(0, 1 - (atMs - offset.glideFromMs) / settings.glideMs);
  for (const note of notes) note.lagCents = note.leanCents + (note.lagFromCents - note.leanCents) * left;
  if (left === 0) offset.glideFromMs = -Infinity;
}

/**
 * One step of the pull: everything that follows moves along with the offset, what stays falls behind by as much.
 * @returns how far the offset moved, in cents; 0 when the body is inside the band
 */
export function pull(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  stepMs: number,
): number {
  const wanted = toReturnCents(toBodyCents(notes, settings, offset.cents), settings.leewayCents);
  const most = (settings.rateCentsPerSecond * stepMs) / 1000;
  const cents = Math.max(-most, Math.min(most, wanted));
  offset.cents += cents;
  if (settings.held === 'stay') {
    for (const note of notes) {
      if (note.settled) note.lagCents -= cents;
    }
  }
  return cents;
}
