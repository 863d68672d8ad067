import { beginGlide, moveOffset } from './common-offset.js';
import type { TunerOut } from './events.js';
import { bookMove, bookTravel } from './ledger.js';
import { advance } from './passing-time.js';
import type { TunerSettings } from './settings.js';
import { closePull, closeStrike } from './settling.js';
import { placeStrike } from './strike.js';
import { createTuner, reportMoves, type Tuner, toDriftCents } from './tuner.js';

/**
 * Everything goes home now: what sounds glides there as a body, its harmony kept; if nothing sounds, what is struck next
 * stands at home. Any strategy may do it, `free` too: it is asked for.
 */
export function goHomeNow(tuner: Tuner, atMs: number, out: TunerOut): void {
  const now = Math.max(atMs, tuner.nowMs);
  advance(tuner, now, out);
  if (tuner.notes.length === 0) {
    goHomeNext(tuner);
    return;
  }
  closePull(tuner, now, out);
  if (tuner.strike?.isWaiting) closeStrike(tuner, now, out);
  if (tuner.strike !== undefined) {
    // The strike is still open: it takes its place at home, and what is tied follows.
    tuner.strike.anew ??= 'home';
    placeStrike(tuner, now);
  } else {
    const cents = -toDriftCents(tuner);
    if (cents === 0) return;
    // Asked for by name, so held notes follow even where they stay otherwise.
    if (tuner.settings.held === 'stay' && tuner.settings.strategy !== 'temper')
      for (const note of tuner.notes) note.leanCents = 0;
    if (moveOffset(tuner.offset, tuner.notes, { ...tuner.settings, held: 'follow' }, cents, now))
      tuner.isLagging = true;
    bookMove(tuner.ledger, cents);
    bookTravel(tuner.ledger, cents);
    const tied = tuner.notes.length;
    out.enter({ kind: 'offset', atMs: now, untilMs: now, cents, cause: 'home', struck: 0, tied });
  }
  reportMoves(tuner, now, out);
}

/** The next strike stands at home as a body, and what is tied glides along with it. */
export function goHomeNext(tuner: Tuner): void {
  tuner.homing = true;
}

/** Holds the drift where it is: the offset neither anchors nor pulls until it is let go again. */
export function holdDrift(tuner: Tuner, held: boolean): void {
  tuner.driftHeld = held;
}

/**
 * Whether a tuner may go from one to the other while notes sound: who pays, how much and how fast may change, and what
 * is remembered; not home, the pitch or the primes, by which what sounds was placed.
 */
export function isAdjustment(from: TunerSettings, to: TunerSettings): boolean {
  return (
    from.home === to.home &&
    from.limit === to.limit &&
    from.referenceCents === to.referenceCents &&
    from.tickMs === to.tickMs
  );
}

/**
 * The tuner under settings that only adjust it (`isAdjustment`), while everything sounds on. What was due before is done
 * under the old ones, and what was still open to revision stands as it is; the new ones hold from then on: the next
 * strike is anchored by them, a pull begins at once, and harmony that was tempered glides into tune.
 *
 * @example tuner = adjust(tuner, { ...tuner.settings, rateCentsPerSecond: 6 }, 2500, out)
 */
export function adjust(tuner: Tuner, settings: TunerSettings, atMs: number, out: TunerOut): Tuner {
  const now = Math.max(atMs, tuner.nowMs);
  advance(tuner, now, out);
  closePull(tuner, now, out);
  closeStrike(tuner, now, out);
  if (tuner.settings.strategy === 'temper' && settings.strategy !== 'temper') untemper(tuner, settings, now);
  const { chooser, scene } = createTuner(settings);
  return { ...tuner, settings, chooser, scene };
}

/** What leans glides into tune, unless held notes keep their pitch. */
function untemper({ notes, offset }: Tuner, { held, glideMs }: TunerSettings, atMs: number): void {
  if (held === 'stay') return;
  for (const note of notes) note.leanCents = 0;
  if (notes.some((note) => note.lagCents !== 0)) beginGlide(offset, notes, glideMs, atMs);
}

/**
 * The tuner under other settings. Nothing may sound: silence every part before.
 *
 * What was heard, the offset and the books go on, unless the lattice itself changes: with another tonic, or to or from
 * the 3-limit, where a place with a 5 in it means nothing. Then it begins at home with empty books.
 *
 * @example tuner = retell(tuner, toSettings({ strategy: 'pull' }))
 */
export function retell(tuner: Tuner, settings: TunerSettings): Tuner {
  if (tuner.notes.length > 0) throw new Error('A tuner is told anew in silence only.');
  const fresh = createTuner(settings);
  fresh.nowMs = tuner.nowMs;
  fresh.nextId = tuner.nextId;
  fresh.driftHeld = tuner.driftHeld;
  if (!isSameLattice(tuner.settings, settings)) return fresh;
  const { memory, offset, ledger, fifthsMean, homing } = tuner;
  return { ...fresh, memory, offset, ledger, fifthsMean, homing, fresh: tuner.fresh };
}

function isSameLattice(a: TunerSettings, b: TunerSettings): boolean {
  const { tonic } = a.home;
  const sameTonic = tonic.keyClass === b.home.tonic.keyClass && tonic.fifths === b.home.tonic.fifths;
  return sameTonic && (a.limit === b.limit || (a.limit !== 3 && b.limit !== 3));
}
