import { formatComma, formatRatio, sameClass, toDeviationCents } from '../theory/index.js';
import { type Tuner, toCommonDrift, toDrift, toDriftCents } from '../tuner/index.js';
import type { DriftFact, TotalsFact } from './facts.js';
import { LIMITS } from './limits.js';
import { toLength, toThousandth } from './round.js';

/**
 * Where a tuner stands: how far what sounds is from home, how far the chord has walked on the lattice, and how much of
 * that its common offset has given back.
 *
 * @param chordKeys keys of the chord to speak of, from the lowest up: what sounds, or in silence what sounded last
 * @example toDriftFact(tuner, [60, 64, 67]).comma  // '−1 syntonic comma' after one falling pump on C
 */
export function toDriftFact(tuner: Tuner, chordKeys: readonly number[]): DriftFact {
  const { ledger, notes, offset } = tuner;
  const drift = toCommonDrift(ledger, chordKeys);
  // The books are kept per key class: those of the lowest one that has drifted as the chord has.
  const key = chordKeys.find((one) => sameClass(toDrift(ledger, one % 12), drift));
  const account = key === undefined ? undefined : ledger.accounts[key % 12];
  const note = notes.find((one) => one.key === key);
  const commaCents = toThousandth(toDeviationCents(drift));
  const back =
    account === undefined
      ? 0
      : (note === undefined ? account.lastOffsetCents : offset.cents + note.lagCents) -
        account.firstOffsetCents;
  const backCents = toThousandth(back);
  return {
    cents: notes.length === 0 ? null : toThousandth(toDriftCents(tuner)),
    ratio: toLength(formatRatio(drift), LIMITS.text),
    comma: toLength(formatComma(drift), LIMITS.text),
    commaCents,
    backCents,
    leftCents: toThousandth(commaCents + backCents),
  };
}

/** Who has paid how much under a tuner's strategy. */
export function toTotalsFact({ ledger }: Tuner): TotalsFact {
  const { returns, jumpedCents, glidedCents, offsetTravelCents, impurityCentSeconds } = ledger.totals;
  return {
    returns,
    jumpedCents: toThousandth(jumpedCents),
    glidedCents: toThousandth(glidedCents),
    offsetCents: toThousandth(offsetTravelCents),
    impurityCentSeconds: toThousandth(impurityCentSeconds),
  };
}
