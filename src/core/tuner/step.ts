import { changeSettings, restart } from './changes.js';
import { glide, pull, toReturnCents } from './common-offset.js';
import { NO_VELOCITY, type TunerEvent, type TunerOut } from './events.js';
import { goHome } from './go-home.js';
import { LEAVING_MS } from './leaving.js';
import { enterMove } from './ledger.js';
import { movePedal, releaseNote, silence, startNote } from './note-life.js';
import { closePull, closeStrike } from './settling.js';
import { isAwaited, placeWithHeld, placeWithUnfollowed } from './strike.js';
import { findDown, notesOf, reportMoves, type Tuner, toMeanFromHome } from './tuner.js';

/**
 * Takes one event and writes its consequences into `out`, after everything that was due before it. Never fails: a
 * note-off without its note, or a pedal already down, changes nothing. Times are in milliseconds and never decrease;
 * keys are 0..127. Pitches are in cents, 6900 is 440 Hz. Hot path.
 *
 * @example
 * const tuner = createTuner(DEFAULT_SETTINGS);
 * step(tuner, { kind: 'note-on', atMs: 0, part: 0, key: 60, velocity: 80 }, out);
 * out.started  // [60]
 */
export function step(tuner: Tuner, event: TunerEvent, out: TunerOut): void {
  const atMs = Math.max(event.atMs, tuner.nowMs);
  advance(tuner, atMs, out);
  switch (event.kind) {
    case 'note-on':
      startNote(tuner, atMs, event, out);
      break;
    case 'note-off': {
      const note = findDown(tuner, event.part, event.key, event.finger);
      if (note !== undefined) releaseNote(tuner, atMs, note, event.velocity ?? NO_VELOCITY, out);
      break;
    }
    case 'pedal':
      movePedal(tuner, atMs, event.part, event.pedal, event.down, out);
      break;
    case 'keys-up':
      for (const note of notesOf(tuner, event.part, event.finger))
        if (note.keyDown) releaseNote(tuner, atMs, note, NO_VELOCITY, out);
      break;
    case 'silence':
      silence(tuner, atMs, event.part, out);
      break;
    case 'home':
      goHome(tuner, atMs, event.when, out);
      break;
    case 'hold-drift':
      tuner.driftHeld = event.on;
      break;
    case 'settings':
      changeSettings(tuner, event.settings, atMs, out);
      break;
    case 'restart':
      restart(tuner);
      break;
    case 'time':
      break;
  }
}

/**
 * When the tuner next has something to do by itself, in milliseconds: a glide, a pull, a note to settle. Infinity when
 * only an event can change anything. A `time` event at or after that moment does it.
 */
export function nextWakeMs(tuner: Tuner): number {
  return Math.min(nextTickMs(tuner), nextSettleMs(tuner));
}

function nextTickMs(tuner: Tuner): number {
  return isMoving(tuner) ? (Math.floor(tuner.nowMs / toStepMs(tuner)) + 1) * toStepMs(tuner) : Infinity;
}

/** Above this many sounding notes, steps get wider, by at most this factor. */
const CROWD = 256;
const WIDEST_STEP = 4;

/** The step width of glides and the pull: one message a note and step for more than a crowd would fill a cable. */
function toStepMs({ settings, notes }: Tuner): number {
  return settings.tickMs * Math.min(WIDEST_STEP, 1 + Math.floor(notes.length / CROWD));
}

/** When the open strike changes by itself: no more notes join it, or it stops waiting for fingers. */
function nextSettleMs({ strike, settings }: Tuner): number {
  if (strike === undefined) return Infinity;
  if (strike.isWaiting) return strike.atMs + LEAVING_MS;
  return strike.lastMs + settings.strikeWindowMs;
}

function isMoving(tuner: Tuner): boolean {
  if (tuner.notes.length === 0) return false;
  if (tuner.offset.glideFromMs !== -Infinity) return true;
  const { settings } = tuner;
  return (
    isPulled(tuner) &&
    settings.rateCentsPerSecond > 0 &&
    Math.abs(toReturnCents(toMeanFromHome(tuner), settings.leewayCents)) > 1e-9
  );
}

/** Whether the pull may move what sounds: not while the drift is held, nor beside notes that can't be tuned. */
function isPulled({ settings, driftHeld, fixed }: Tuner): boolean {
  return settings.strategy === 'pull' && !driftHeld && fixed.size === 0;
}

/** Does everything due up to `atMs`, each at its own time, so that a late caller changes nothing. */
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
  if (offset.glideFromMs !== -Infinity) glide(offset, notes, atMs);
  if (isPulled(tuner)) {
    const cents = pull(offset, notes, settings, toMeanFromHome(tuner), toStepMs(tuner));
    if (settings.held === 'stay') tuner.isLagging = true;
    if (cents !== 0) {
      enterMove(tuner.ledger, cents);
      // The pull's moves meanwhile don't belong to the open strike.
      offset.strikeBaseCents += cents;
      tuner.pulling ??= { fromMs: atMs - toStepMs(tuner), cents: 0, tied: 0 };
      tuner.pulling.cents += cents;
      tuner.pulling.tied = Math.max(tuner.pulling.tied, notes.length);
    }
    if (!isMoving(tuner)) closePull(tuner, atMs, out);
  }
  reportMoves(tuner, atMs, out);
}

/** Adds up impurity over time: a lagging note against others elsewhere. */
function passTime(tuner: Tuner, atMs: number): void {
  const seconds = (atMs - tuner.nowMs) / 1000;
  if (seconds > 0 && tuner.isLagging) {
    let least = Infinity;
    let most = -Infinity;
    for (const { lagCents } of tuner.notes) {
      least = Math.min(least, lagCents);
      most = Math.max(most, lagCents);
    }
    tuner.isLagging = least < 0 || most > 0 || tuner.offset.glideFromMs !== -Infinity;
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

/** The strike window is over: the strike waits for fingers still to leave the chord before it, or closes. */
function settle(tuner: Tuner, atMs: number, out: TunerOut): void {
  const strike = tuner.strike!;
  if (!strike.isWaiting && isAwaited(tuner)) {
    strike.isWaiting = true;
    placeWithUnfollowed(tuner, atMs, out);
    return;
  }
  if (strike.isWaiting) placeWithHeld(tuner, atMs, out);
  closeStrike(tuner, atMs, out);
}
