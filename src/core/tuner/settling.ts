import { toFifths } from '../theory/index.js';
import { createDriftLevel } from './drift.js';
import { enterDrift } from './drift-steps.js';
import type { TunerOut } from './events.js';
import { touchOf, unmark } from './leaving.js';
import { enterSettled, enterTravel, type OffsetEntry } from './ledger.js';
import type { ReasonSource, SoundingNote } from './note.js';
import type { OpenStrike, Tuner } from './tuner.js';

/** How many notes the tonic of home counts as at the beginning, for the mean place on the line of fifths. */
const HOME_NOTES = 6;

/** Fixes the lattice point of a note of the open strike for as long as it sounds, and enters it in the ledger. */
export function settleNote(tuner: Tuner, note: SoundingNote, out: TunerOut): void {
  const strike = tuner.strike!;
  note.settled = true;
  if (strike.homingCause !== undefined) {
    // From here on something is at home: a note that joins this strike later is no first one.
    tuner.fresh = false;
    tuner.homing = false;
    enterStrike(tuner, strike, tuner.nowMs, out);
    // Taken home as a whole, it is where the drift counts from.
    if (strike.homingCause === 'home' && tuner.fixed.size === 0) tuner.ledger.drift = createDriftLevel();
    strike.homingCause = undefined;
  }
  // The first notes count more than later ones: before them only the tonic of home is known.
  const share = Math.max(tuner.settings.weights.fifthsShare, 1 / (tuner.nextId - tuner.firstId + HOME_NOTES));
  tuner.fifthsMean += share * (tuner.settings.home.tonic.fifths + toFifths(note.point) - tuner.fifthsMean);
  if (tuner.settings.strategy === 'temper') tieNote(tuner, note);
  tuner.sounding.add(note);
  if (note.keyDown) touchOf(tuner, note.part).held.add(note);
  const entry = enterSettled(tuner.ledger, note, tuner.offset.cents + note.lagCents);
  if (entry === undefined) return;
  strike.returns.push(entry);
  out.enter(entry);
}

/** Stores the pitch of a tied note: a strike that is placed again is measured from it. */
export function tieNote({ offset }: Tuner, note: SoundingNote): void {
  note.tiedCents = note.deviationCents + offset.cents + note.lagCents;
}

/** Ends the open strike, if any: its notes settle, and what the offset did for it is entered. */
export function closeStrike(tuner: Tuner, atMs: number, out: TunerOut): void {
  const { strike } = tuner;
  if (strike === undefined) return;
  unmark(tuner);
  const { members: struck, background, without } = strike;
  for (const note of struck) if (!note.settled) settleNote(tuner, note, out);
  const { pairCost } = tuner.chooser;
  // A strike has a background from its first note on.
  const reasonSource: ReasonSource = {
    struck,
    background: background!,
    pairCost,
    reasons: undefined,
    without,
  };
  for (const note of struck) note.reasonSource = reasonSource;
  enterDrift(tuner, strike, out);
  enterStrike(tuner, strike, atMs, out);
  tuner.strike = undefined;
}

/** Enters the offset's moves for the open strike so far; later ones start from there. */
function enterStrike(tuner: Tuner, strike: OpenStrike, atMs: number, out: TunerOut): void {
  const { offset } = tuner;
  const cents = offset.cents - offset.strikeBaseCents;
  offset.strikeBaseCents = offset.cents;
  if (cents === 0) return;
  enterTravel(tuner.ledger, cents);
  const { struck, tied, homingCause } = strike;
  const cause = toCause(tuner, homingCause);
  out.enter({ kind: 'offset', atMs: strike.atMs, untilMs: atMs, cents, cause, struck, tied });
}

function toCause(
  { settings, guide, fixed }: Tuner,
  homingCause: OpenStrike['homingCause'],
): OffsetEntry['cause'] {
  if (fixed.size > 0) return 'partner';
  if (homingCause !== undefined) return homingCause;
  if (settings.strategy === 'temper') return 'temper';
  return guide === undefined ? 'anchor' : 'plan';
}

/** Ends a run of the pull and enters it. */
export function closePull(tuner: Tuner, atMs: number, out: TunerOut): void {
  const { pulling } = tuner;
  if (pulling === undefined) return;
  tuner.pulling = undefined;
  const { fromMs, cents, tied } = pulling;
  enterTravel(tuner.ledger, cents);
  out.enter({ kind: 'offset', atMs: fromMs, untilMs: atMs, cents, cause: 'pull', struck: 0, tied });
}
