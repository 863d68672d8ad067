import { isSameHome } from '../theory/index.js';
import { beginGlide, moveOffset } from './common-offset.js';
import type { TunerOut } from './events.js';
import { bookMove, bookTravel } from './ledger.js';
import { silenceAll } from './note-life.js';
import type { TunerSettings } from './settings.js';
import { closePull, closeStrike } from './settling.js';
import { placeStrike } from './strike.js';
import { createTuner, reportMoves, type Tuner, toDriftCents } from './tuner.js';

/**
 * Everything goes home: at once, what sounds glides there together, its harmony kept; or with the next strike, and held
 * notes glide along. In silence both are the same. Any strategy may do it, `free` too: it is asked for.
 */
export function goHome(tuner: Tuner, atMs: number, when: 'now' | 'next', out: TunerOut): void {
  if (when === 'next' || tuner.notes.length === 0) {
    tuner.homing = true;
    return;
  }
  closePull(tuner, atMs, out);
  if (tuner.strike?.isWaiting) closeStrike(tuner, atMs, out);
  if (tuner.strike !== undefined) {
    // The strike is still open: it takes its place at home, and what is tied follows.
    tuner.strike.anew ??= 'home';
    placeStrike(tuner, atMs);
  } else {
    const cents = -toDriftCents(tuner);
    if (cents === 0) return;
    // Asked for by name, so held notes follow even where they stay otherwise.
    if (tuner.settings.held === 'stay' && tuner.settings.strategy !== 'temper')
      for (const note of tuner.notes) note.leanCents = 0;
    if (moveOffset(tuner.offset, tuner.notes, { ...tuner.settings, held: 'follow' }, cents, atMs))
      tuner.isLagging = true;
    bookMove(tuner.ledger, cents);
    bookTravel(tuner.ledger, cents);
    const tied = tuner.notes.length;
    out.enter({ kind: 'offset', atMs, untilMs: atMs, cents, cause: 'home', struck: 0, tied });
  }
  reportMoves(tuner, atMs, out);
}

/**
 * Whether notes sound on while a tuner goes from one to the other: who pays, how much and how fast may change, and what is
 * remembered; not home, the pitch or the primes, by which what sounds was placed.
 */
export function isAdjustment(from: TunerSettings, to: TunerSettings): boolean {
  return (
    isSameHome(from.home, to.home) &&
    from.limit === to.limit &&
    from.referenceCents === to.referenceCents &&
    from.tickMs === to.tickMs
  );
}

/**
 * Other settings from now on: the next strike is anchored by them, a pull begins at once, and harmony that was tempered
 * glides into tune. What was still open to revision settles where it is.
 *
 * What was heard, the offset and the ledger go on, unless the lattice itself changes: with another tonic, or to or from the
 * 3-limit, where a place with a 5 in it means nothing. Then it begins at home with an empty ledger.
 */
export function changeSettings(tuner: Tuner, settings: TunerSettings, atMs: number, out: TunerOut): void {
  if (isAdjustment(tuner.settings, settings)) {
    closePull(tuner, atMs, out);
    closeStrike(tuner, atMs, out);
    if (tuner.settings.strategy === 'temper' && settings.strategy !== 'temper')
      untemper(tuner, settings, atMs);
    const { chooser, scene } = createTuner(settings);
    Object.assign(tuner, { settings, chooser, scene });
    return;
  }
  silenceAll(tuner, atMs, out);
  const { nowMs, nextId, driftHeld, memory, offset, ledger, fifthsMean, homing, fresh } = tuner;
  const music = isSameLattice(tuner.settings, settings)
    ? { memory, offset, ledger, fifthsMean, homing, fresh }
    : {};
  Object.assign(tuner, createTuner(settings), { nowMs, nextId, driftHeld }, music);
}

/** What leans glides into tune, unless held notes keep their pitch. */
function untemper({ notes, offset }: Tuner, { held, glideMs }: TunerSettings, atMs: number): void {
  if (held === 'stay') return;
  for (const note of notes) note.leanCents = 0;
  if (notes.some((note) => note.lagCents !== 0)) beginGlide(offset, notes, glideMs, atMs);
}

function isSameLattice(a: TunerSettings, b: TunerSettings): boolean {
  return (
    a.home.tonic.fifths === b.home.tonic.fifths && (a.limit === b.limit || (a.limit !== 3 && b.limit !== 3))
  );
}

/** The tuner as it was before its first note; pedals stay down, time and note numbers go on. */
export function restart(tuner: Tuner): void {
  const { settings, nowMs, nextId, pedals } = tuner;
  Object.assign(tuner, createTuner(settings), { nowMs, nextId, pedals });
}
