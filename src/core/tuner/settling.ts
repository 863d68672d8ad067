import { toFifths } from '../theory/index.js';
import type { TunerOut } from './events.js';
import { bookSettled, bookTravel, type OffsetEntry } from './ledger.js';
import type { Explanation, SoundingNote } from './note.js';
import type { OpenStrike, Tuner } from './tuner.js';

/** Fixes the lattice point of a note of the open strike for as long as it sounds, and books it. */
export function settleNote(tuner: Tuner, note: SoundingNote, out: TunerOut): void {
  const strike = tuner.strike!;
  note.settled = true;
  tuner.scene.isHeard = false;
  if (strike.anew !== undefined) {
    // From here on something stands at home: a note that joins this strike later is no first one any more.
    tuner.fresh = false;
    tuner.homing = false;
    bookStrike(tuner, strike, tuner.nowMs, out);
    strike.anew = undefined;
  }
  const { fifthsShare } = tuner.settings.weights;
  tuner.fifthsMean +=
    fifthsShare * (tuner.settings.home.tonic.fifths + toFifths(note.frame) - tuner.fifthsMean);
  tieNote(tuner, note);
  const entry = bookSettled(tuner.ledger, note, tuner.offset.cents + note.lagCents);
  if (entry !== undefined) out.enter(entry);
}

/** Keeps where a tied note stands: a strike that is placed again is measured from there. */
export function tieNote({ offset }: Tuner, note: SoundingNote): void {
  note.tiedCents = note.deviationCents + offset.cents + note.lagCents;
}

/** Ends a strike when its last note has settled, and books what the offset did for it. */
export function closeStrike(tuner: Tuner, atMs: number, out: TunerOut): void {
  const { strike } = tuner;
  if (strike === undefined) return;
  const { members: struck, background } = strike;
  const { pairCost } = tuner.chooser;
  const explanation: Explanation = { struck, background, pairCost, reasons: undefined };
  for (const note of struck) note.explanation = explanation;
  bookStrike(tuner, strike, atMs, out);
  tuner.strike = undefined;
}

/** Books what the offset has done for the open strike so far; what comes later starts from there. */
function bookStrike(tuner: Tuner, strike: OpenStrike, atMs: number, out: TunerOut): void {
  const { offset } = tuner;
  const cents = offset.cents - offset.strikeBaseCents;
  offset.strikeBaseCents = offset.cents;
  const isPulled = tuner.settings.strategy === 'pull' && tuner.guide === undefined;
  if (cents === 0 || (isPulled && strike.anew === undefined)) return;
  bookTravel(tuner.ledger, cents);
  const { struck, tied, anew } = strike;
  const cause = anew ?? toCause(tuner);
  out.enter({ kind: 'offset', atMs: strike.atMs, untilMs: atMs, cents, cause, struck, tied });
}

/** Why the offset moves at a strike by itself. */
function toCause({ settings, guide }: Tuner): OffsetEntry['cause'] {
  if (settings.strategy === 'temper') return 'temper';
  return guide === undefined ? 'anchor' : 'plan';
}

/** Ends a run of the pull and books it. */
export function closePull(tuner: Tuner, atMs: number, out: TunerOut): void {
  const { pulling } = tuner;
  if (pulling === undefined) return;
  tuner.pulling = undefined;
  const { fromMs, cents, tied } = pulling;
  bookTravel(tuner.ledger, cents);
  out.enter({ kind: 'offset', atMs: fromMs, untilMs: atMs, cents, cause: 'pull', struck: 0, tied });
}
