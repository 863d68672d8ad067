import { isSameHome } from '../theory/index.js';
import { beginGlide, moveOffset } from './common-offset.js';
import type { TunerOut } from './events.js';
import { enterMove, enterTravel } from './ledger.js';
import { silenceAll } from './note-life.js';
import type { TunerSettings } from './settings.js';
import { closePull, closeStrike } from './settling.js';
import { placeStrike } from './strike.js';
import { createTuner, reportMoves, type Tuner, toDriftCents } from './tuner.js';

/**
 * Takes everything home: at once, where sounding notes glide together in pure harmony; or with the next strike, where
 * held notes glide along. In silence both are the same. Works under any strategy, also `free`: the player asked.
 */
export function goHome(tuner: Tuner, atMs: number, when: 'now' | 'next', out: TunerOut): void {
  if (when === 'next' || tuner.notes.length === 0) {
    tuner.homing = true;
    return;
  }
  closePull(tuner, atMs, out);
  if (tuner.strike?.isWaiting) closeStrike(tuner, atMs, out);
  if (tuner.strike !== undefined) {
    // The strike is still open: it takes its place at home, and tied notes follow.
    tuner.strike.homingCause ??= 'home';
    placeStrike(tuner, atMs);
  } else {
    const cents = -toDriftCents(tuner);
    if (cents === 0) return;
    // The player asked, so held notes follow even where they stay otherwise.
    if (tuner.settings.held === 'stay' && tuner.settings.strategy !== 'temper')
      for (const note of tuner.notes) note.leanCents = 0;
    if (moveOffset(tuner.offset, tuner.notes, { ...tuner.settings, held: 'follow' }, cents, atMs))
      tuner.isLagging = true;
    enterMove(tuner.ledger, cents);
    enterTravel(tuner.ledger, cents);
    const tied = tuner.notes.length;
    out.enter({ kind: 'offset', atMs, untilMs: atMs, cents, cause: 'home', struck: 0, tied });
  }
  reportMoves(tuner, atMs, out);
}

/**
 * Whether sounding notes continue when a tuner changes from one to the other. Strategy, amounts, speed and memory may
 * change; not home, the pitch or the primes, which placed what sounds.
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
 * Changes the settings: the next strike is anchored by them, a pull begins at once, and tempered harmony glides into
 * tune. An open strike settles where it is.
 *
 * Memory, offset and ledger continue, unless the lattice changes: with another tonic, or to or from the 3-limit, where
 * a place with a 5 in it means nothing. Then it begins at home with an empty ledger.
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

/** Leans glide into tune, unless held notes keep their pitch. */
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

/** Resets the tuner; pedals stay down, time and note numbers continue. */
export function restart(tuner: Tuner): void {
  const { settings, nowMs, nextId, pedals } = tuner;
  Object.assign(tuner, createTuner(settings), { nowMs, nextId, pedals });
}
