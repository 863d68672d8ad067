import { choosePoints, placeByGuide } from './choosing.js';
import { beginGlide, moveOffset, toReturnCents } from './common-offset.js';
import type { TunerOut } from './events.js';
import { fillScene, storeBackground } from './fill-scene.js';
import { isExpectedToEnd, learnHeld, markLeaving, unmark } from './leaving.js';
import { enterMove } from './ledger.js';
import type { SoundingNote } from './note.js';
import { pinFixed, toFixedOffset } from './partner.js';
import { endLeans, temperStrike } from './tempering.js';
import { type OpenStrike, reportMove, reportMoves, type Tuner, toMeanCents } from './tuner.js';

/** Shortest glide of a note that moves after its attack, in milliseconds. */
const SOFT_MS = 60;
/** The move of a note older than this can be heard, in milliseconds: it isn't moved for memory's sake alone. */
const HEARD_MS = 5;
/** Impurities, and cents, closer than this are equal (floating point). */
const EQUAL = 1e-6;

/** Places every note of the open strike that still sounds, jointly, then the offset. There is at least one. */
export function placeStrike(tuner: Tuner, atMs: number): void {
  const strike = tuner.strike!;
  const { guide } = tuner;
  const struck = toStruck(strike);
  const pitches = toPitches(tuner, struck);
  if (guide === undefined) markLeaving(tuner);
  fillScene(tuner, strike);
  for (const note of struck)
    if (note.struckMs < atMs - HEARD_MS) tuner.scene.surroundings.placed[note.keyClass] = note.frame;
  strike.background ??= storeBackground(tuner, strike.atMs);
  if (guide === undefined || !placeByGuide(tuner, guide, struck)) choosePoints(tuner, struck, atMs);
  placeOffset(tuner, strike, struck, atMs);
  soften(tuner, struck, pitches, atMs);
  pinFixed(tuner, struck, toStaying(tuner, struck));
}

/**
 * Places the open strike again by what sounds now, if that makes it purer.
 * @returns whether it did
 */
export function placeAgain(tuner: Tuner, atMs: number, out: TunerOut): boolean {
  const strike = tuner.strike!;
  const struck = toStruck(strike);
  if (struck.length === 0) return false;
  fillScene(tuner, strike);
  const before = tuner.scene.toImpurity(struck);
  if (before < EQUAL) return false;
  const places = struck.map(({ point, frame, deviationCents, harmonic }) => ({
    point,
    frame,
    deviationCents,
    harmonic,
  }));
  const pitches = toPitches(tuner, struck);
  choosePoints(tuner, struck, atMs);
  if (tuner.scene.toImpurity(struck) >= before - EQUAL) {
    struck.forEach((note, i) => {
      Object.assign(note, places[i]);
    });
    return false;
  }
  strike.background = storeBackground(tuner, strike.atMs);
  placeOffset(tuner, strike, struck, atMs);
  soften(tuner, struck, pitches, atMs);
  pinFixed(tuner, struck, toStaying(tuner, struck));
  reportMoves(tuner, atMs, out);
  return true;
}

/** Reports what a strike has moved: its own notes, and those that follow. */
export function reportStrike(tuner: Tuner, atMs: number, out: TunerOut): void {
  if (tuner.isLagging) reportMoves(tuner, atMs, out);
  else for (const note of tuner.strike!.members) if (!note.settled) reportMove(tuner, note, atMs, out);
}

function toStruck({ members }: OpenStrike): SoundingNote[] {
  return members.filter(({ settled }) => !settled);
}

/** Each note's pitch off its key, in cents; the newest has none yet. */
function toPitches({ offset }: Tuner, struck: readonly SoundingNote[]): number[] {
  return struck.map(({ reportedCents, deviationCents, lagCents }) =>
    Number.isNaN(reportedCents) ? Number.NaN : deviationCents + offset.cents + lagCents,
  );
}

/** Notes past their attack glide to their new place; the others move at once. */
function soften(
  tuner: Tuner,
  struck: readonly SoundingNote[],
  pitches: readonly number[],
  atMs: number,
): void {
  const { offset, settings, notes } = tuner;
  let isSoft = false;
  struck.forEach((note, i) => {
    note.lagCents = note.leanCents + offset.lagCents;
    note.lagFromCents = note.leanCents + offset.lagFromCents;
    if (Number.isNaN(pitches[i]) || atMs <= note.struckMs + settings.strikeWindowMs) return;
    const behind = pitches[i] - note.deviationCents - offset.cents;
    if (Math.abs(behind - note.lagCents) < EQUAL) return;
    note.lagCents = behind;
    isSoft = true;
  });
  if (!isSoft) return;
  tuner.isLagging = true;
  beginGlide(offset, notes, Math.max(SOFT_MS, settings.glideMs), atMs);
}

/** Puts the common offset where the strategy wants it for this strike, starting from its value before the strike. */
function placeOffset(tuner: Tuner, strike: OpenStrike, struck: readonly SoundingNote[], atMs: number): void {
  const { settings, offset, guide, fixed } = tuner;
  if (settings.strategy === 'temper' && fixed.size === 0) {
    temperStrike(tuner, strike, atMs);
    tuner.isLagging = true;
    return;
  }
  let wanted = offset.strikeBaseCents;
  const planned = guide?.offsetOf(struck[0].id, wanted);
  if (fixed.size > 0) {
    for (const note of struck) note.leanCents = 0;
    if (settings.strategy === 'temper') endLeans(tuner, atMs);
    wanted = toFixedOffset(toStaying(tuner, struck), settings.referenceCents);
  } else if (planned !== undefined) {
    wanted = planned;
  } else if (strike.homingCause !== undefined) {
    wanted = -toMean(tuner, struck);
  } else if (settings.strategy === 'anchored' && !tuner.driftHeld) {
    // When held notes stay, only the new ones can go home.
    const mean = settings.held === 'follow' ? toMeanCents(tuner, 0) : toMean(tuner, struck);
    wanted += toReturnCents(mean + wanted, settings.leewayCents);
  } else {
    return;
  }
  const cents = wanted - offset.cents;
  const isLeaving = guide && ((note: Readonly<SoundingNote>) => guide.isLeaving(note.id, struck[0].id));
  // Rounding is no move, and restarts no glide.
  if (Math.abs(cents) < EQUAL) return;
  if (moveOffset(offset, tuner.notes, settings, cents, atMs, isLeaving)) tuner.isLagging = true;
  enterMove(tuner.ledger, cents);
}

/** The fixed notes to be tuned to: without those about to end, as far as that is known, unless all are. */
function toStaying(
  tuner: Tuner,
  struck: readonly SoundingNote[],
): ReadonlySet<SoundingNote> | readonly SoundingNote[] {
  const { guide, fixed } = tuner;
  if (fixed.size < 2) return fixed;
  const isLeaving = (note: SoundingNote) =>
    guide === undefined ? isExpectedToEnd(tuner, note) : guide.isLeaving(note.id, struck[0].id);
  const staying = [...fixed].filter((note) => !isLeaving(note));
  return staying.length > 0 ? staying : fixed;
}

/** Mean distance of some notes from home without the common offset, in cents. */
function toMean({ settings }: Tuner, notes: readonly SoundingNote[]): number {
  let sum = 0;
  for (const { deviationCents, keyClass } of notes)
    sum += deviationCents - settings.home.deviationCents[keyClass];
  return sum / notes.length;
}

/** Whether notes from before the open strike are still held: they may be about to end. */
export function isAwaited({ sounding, guide }: Tuner): boolean {
  if (guide !== undefined) return false;
  return sounding.held > 0;
}

/**
 * A note of the chord before ends while a strike is open: what was tuned to it is placed again without it, in one soft
 * move, unless that makes nothing purer.
 */
export function placeWithout(tuner: Tuner, note: Readonly<SoundingNote>, atMs: number, out: TunerOut): void {
  const { strike, guide } = tuner;
  if (strike === undefined || guide !== undefined) return;
  if (!placeAgain(tuner, atMs, out)) {
    if (note.fixedCents !== undefined) followFixed(tuner, atMs, out);
    return;
  }
  const { key, point } = note;
  strike.without = { key, point, afterMs: atMs - strike.atMs };
}

/** A partner's finger has left the chord before: its notes that stay are those to be pure to. */
function followFixed(tuner: Tuner, atMs: number, out: TunerOut): void {
  const strike = tuner.strike!;
  const struck = toStruck(strike);
  if (struck.length === 0 || tuner.fixed.size === 0) return;
  const pitches = toPitches(tuner, struck);
  placeOffset(tuner, strike, struck, atMs);
  soften(tuner, struck, pitches, atMs);
  pinFixed(tuner, struck, toStaying(tuner, struck));
  reportMoves(tuner, atMs, out);
}

/** No more notes join the strike: held notes that its notes don't follow are no longer expected to end. */
export function placeWithUnfollowed(tuner: Tuner, atMs: number, out: TunerOut): void {
  if (tuner.strike!.marked.every(({ unsure }) => unsure === 0)) return;
  markLeaving(tuner);
  placeAgain(tuner, atMs, out);
}

/** A note expected to end is still held, so it was meant to be: places the strike with it if that is purer. */
export function placeWithHeld(tuner: Tuner, atMs: number, out: TunerOut): void {
  learnHeld(tuner);
  if (unmark(tuner)) placeAgain(tuner, atMs, out);
}
