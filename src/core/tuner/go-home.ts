import { moveOffset } from './common-offset.js';
import { beginDrift } from './drift-steps.js';
import type { TunerOut } from './events.js';
import { enterMove, enterTravel } from './ledger.js';
import { closePull, closeStrike } from './settling.js';
import { placeStrike } from './strike.js';
import { reportMoves, type Tuner, toMeanFromHome } from './tuner.js';

/**
 * Takes everything home: at once, where sounding notes glide together in pure harmony; or with the next strike, where
 * held notes glide along. In silence both are the same. Works under any strategy, also `free`: the player asked.
 *
 * The drift counts from there: it is 0 afterwards. In silence it is so at once.
 */
export function goHome(tuner: Tuner, atMs: number, when: 'now' | 'next', out: TunerOut): void {
  if (when === 'next' || tuner.notes.length === 0) {
    tuner.homing = true;
    if (tuner.notes.length === 0) beginDrift(tuner);
    return;
  }
  // A partner that can't move decides where the music is.
  if (tuner.fixed.size > 0) return;
  closePull(tuner, atMs, out);
  if (tuner.strike?.isWaiting) closeStrike(tuner, atMs, out);
  if (tuner.strike !== undefined) {
    // The strike is still open: it takes its place at home, and tied notes follow.
    tuner.strike.homingCause ??= 'home';
    placeStrike(tuner, atMs);
  } else {
    const cents = -toMeanFromHome(tuner);
    if (cents === 0) {
      beginDrift(tuner);
      return;
    }
    // The player asked, so held notes follow even where they stay otherwise.
    if (tuner.settings.held === 'stay' && tuner.settings.strategy !== 'temper')
      for (const note of tuner.notes) note.leanCents = 0;
    moveOffset(tuner.offset, tuner.notes, { ...tuner.settings, held: 'follow' }, cents, atMs);
    tuner.isLagging = true;
    enterMove(tuner.ledger, cents);
    enterTravel(tuner.ledger, cents);
    beginDrift(tuner);
    const tied = tuner.notes.length;
    out.enter({ kind: 'offset', atMs, untilMs: atMs, cents, cause: 'home', struck: 0, tied });
  }
  reportMoves(tuner, atMs, out);
}
