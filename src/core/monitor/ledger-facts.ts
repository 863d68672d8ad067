import { type DriftFact, type EntryFact, type TotalsFact, toThousandth } from '../protocol/index.js';
import {
  divide,
  formatComma,
  formatRatio,
  type PrimeVector,
  toDeviationCents,
  withKeys,
} from '../theory/index.js';
import { type LedgerEntry, type Tuner, toDrift, toMeanFromHome } from '../tuner/index.js';
import { formatRatioOrCommas, namePoint, toHomeRatio } from '../words/index.js';
import { toText } from './note-facts.js';

/**
 * The drift of a tuner: how far the harmony has moved on the lattice, how much of that the common offset has given back,
 * and what is left; and beside it how far the mean of what sounds is from home.
 *
 * @example toDriftFact(pumpedTuner).comma  // '−1 syntonic comma', after one falling pump on C
 */
export function toDriftFact(tuner: Tuner): DriftFact {
  const { commas, ...drift } = toDrift(tuner);
  const commaCents = toThousandth(toDeviationCents(commas));
  const backCents = toThousandth(drift.backCents);
  return {
    ratio: toText(formatRatio(commas)),
    comma: toText(formatComma(commas)),
    commaCents,
    backCents,
    leftCents: toThousandth(commaCents + backCents),
    meanCents: tuner.notes.length === 0 ? null : toThousandth(toMeanFromHome(tuner)),
  };
}

/** The ledger's totals for a tuner's strategy. */
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

/** The number and pass of an entry. */
export interface EntryPlace {
  /** Counted from 1 for each strategy. */
  readonly n: number;
  /** Pass of the playing piece, from 1; 0 outside a piece. */
  readonly pass: number;
}

/**
 * An entry of the ledger for the feed. Call it as the entry is made: the note's places before and now are read from its
 * key class's account, which changes later.
 */
export function toEntryFact(tuner: Tuner, entry: LedgerEntry, { n, pass }: EntryPlace): EntryFact {
  const { strategy, held } = tuner.settings;
  const head = { n, strategy, atMs: toThousandth(entry.atMs), pass };
  switch (entry.kind) {
    case 'return': {
      const { key, ratio } = entry;
      const now = placeOf(tuner, key);
      return {
        ...head,
        kind: 'return',
        key,
        name: toText(namePoint(tuner, now, key)),
        ratio: toText(formatRatio(ratio)),
        comma: toText(formatComma(ratio)),
        cents: toThousandth(entry.cents),
        was: toText(formatRatioOrCommas(toHomeRatio(tuner, divide(now, ratio), key))),
        now: toText(formatRatioOrCommas(toHomeRatio(tuner, now, key))),
      };
    }
    case 'drift': {
      const { key, isReturn, byKey, ratio } = entry;
      const nameOf = (one: number) => toText(namePoint(tuner, placeOf(tuner, one), one));
      return {
        ...head,
        kind: 'drift',
        key,
        name: nameOf(key),
        isReturn,
        ratio: toText(formatRatio(ratio)),
        comma: toText(formatComma(ratio)),
        cents: toThousandth(entry.cents),
        by: byKey === undefined ? '' : nameOf(byKey),
      };
    }
    case 'offset': {
      const { cause, struck, tied } = entry;
      const untilMs = toThousandth(entry.untilMs);
      return {
        ...head,
        kind: 'offset',
        untilMs,
        cents: toThousandth(entry.cents),
        cause,
        struck,
        tied,
        held,
      };
    }
    case 'impurity': {
      const { key } = entry;
      return {
        ...head,
        kind: 'impurity',
        untilMs: toThousandth(entry.untilMs),
        key,
        name: toText(namePoint(tuner, placeOf(tuner, key), key)),
        cents: toThousandth(entry.cents),
        centSeconds: toThousandth(entry.centSeconds),
      };
    }
  }
}

/** The ledger's point for a key's class that has come back, in the octave of the key. */
function placeOf({ ledger, originKey }: Tuner, key: number): PrimeVector {
  return withKeys(ledger.accounts[key % 12]!.lastPoint, key - originKey);
}
