import { glide, pull, toBodyCents, toReturnCents } from './common-offset.js';
import type { TunerOut } from './events.js';
import { bookMove } from './ledger.js';
import { closePull, closeStrike, settleNote } from './settling.js';
import { reportMoves, type Tuner } from './tuner.js';

/**
 * When the tuner next has something to do by itself, in milliseconds: a glide, a pull, a note to settle.
 * Infinity when only an event can change anything. A `time` event at or after that moment does it.
 */
export function nextWakeMs(tuner: Tuner): number {
  return Math.min(nextTickMs(tuner), nextSettleMs(tuner));
}

function nextTickMs(tuner: Tuner): number {
  return isMoving(tuner)
    ? (Math.floor(tuner.nowMs / tuner.settings.tickMs) + 1) * tuner.settings.tickMs
    : Infinity;
}

function nextSettleMs(tuner: Tuner): number {
  let next = Infinity;
  if (tuner.strike === undefined) return next;
  for (const note of tuner.notes) {
    if (!note.settled) next = Math.min(next, note.struckMs + tuner.settings.strikeWindowMs);
  }
  return next;
}

function isMoving(tuner: Tuner): boolean {
  if (tuner.notes.length === 0) return false;
  if (tuner.offset.glideFromMs !== -Infinity) return true;
  const { settings, offset, notes } = tuner;
  return (
    settings.strategy === 'pull' &&
    !tuner.driftHeld &&
    settings.rateCentsPerSecond > 0 &&
    Math.abs(toReturnCents(toBodyCents(notes, settings, offset.cents), settings.leewayCents)) > 1e-9
  );
}

/** Does everything that is due up to `atMs`, each at its own time, so that a late caller changes nothing. */
export function advance(tuner: Tuner, atMs: number, out: TunerOut): void {
  for (;;) {
    const tickMs = nextTickMs(tuner);
    const settleMs = nextSettleMs(tuner);
    const dueMs = Math.min(tickMs, settleMs);
    if (dueMs > atMs) break;
    passTime(tuner, dueMs);
    if (settleMs <= dueMs) settle(tuner, dueMs, out);
    if (tickMs <= dueMs) tick(tuner, dueMs, out);
  }
  passTime(tuner, atMs);
}

function tick(tuner: Tuner, atMs: number, out: TunerOut): void {
  const { notes, offset, settings } = tuner;
  if (offset.glideFromMs !== -Infinity) glide(offset, notes, settings, atMs);
  if (settings.strategy === 'pull' && !tuner.driftHeld) {
    const cents = pull(offset, notes, settings, settings.tickMs);
    if (cents !== 0) {
      bookMove(tuner.ledger, cents);
      tuner.pulling ??= { fromMs: atMs - settings.tickMs, cents: 0, tied: 0 };
      tuner.pulling.cents += cents;
      tuner.pulling.tied = Math.max(tuner.pulling.tied, notes.length);
    }
    if (!isMoving(tuner)) closePull(tuner, atMs, out);
  }
  reportMoves(tuner, atMs, out);
}

/** Lets time pass for the sum of impurity: a lagging note against others that stand elsewhere. */
function passTime(tuner: Tuner, atMs: number): void {
  const seconds = (atMs - tuner.nowMs) / 1000;
  if (seconds > 0 && tuner.nowMs !== -Infinity) {
    let least = Infinity;
    let most = -Infinity;
    for (const { lagCents } of tuner.notes) {
      least = Math.min(least, lagCents);
      most = Math.max(most, lagCents);
    }
    for (const note of tuner.notes) {
      const { lagCents } = note;
      if (lagCents === 0 || (most - lagCents <= 1e-9 && lagCents - least <= 1e-9)) continue;
      const centSeconds = Math.abs(lagCents) * seconds;
      note.impurityCentSeconds += centSeconds;
      tuner.ledger.totals.impurityCentSeconds += centSeconds;
    }
  }
  tuner.nowMs = atMs;
}

/** Settles every note whose strike window is over and books it; closes the strike with its last note. */
function settle(tuner: Tuner, atMs: number, out: TunerOut): void {
  let open = false;
  for (const note of tuner.notes) {
    if (note.settled) continue;
    if (note.struckMs + tuner.settings.strikeWindowMs <= atMs) settleNote(tuner, note, out);
    else open = true;
  }
  if (!open) closeStrike(tuner, atMs, out);
}
