import { type DriftFact, type EntryFact, type TotalsFact, toThousandth } from '../protocol/index.js';
import {
  divide,
  formatComma,
  formatRatio,
  type PrimeVector,
  toDeviationCents,
  withKeys,
} from '../theory/index.js';
import { type LedgerEntry, type Tuner, toDriftCents, toDriftLeft } from '../tuner/index.js';
import { namePoint, toHomeRatio } from '../words/index.js';
import { toText } from './note-facts.js';

/**
 * The drift of a tuner: how far what sounds is from home, how far the chord has moved on the lattice, and how much of
 * that its common offset has given back.
 *
 * @param chordKeys keys of the reported chord, from the lowest up: what sounds, or in silence what sounded last
 * @example toDriftFact(pumpedTuner, [60, 64, 67]).comma  // '−1 syntonic comma', after one falling pump on C
 */
export function toDriftFact(tuner: Tuner, chordKeys: readonly number[]): DriftFact {
  const { drift, backCents: back } = toDriftLeft(tuner, chordKeys);
  const commaCents = toThousandth(toDeviationCents(drift));
  const backCents = toThousandth(back);
  return {
    cents: tuner.notes.length === 0 ? null : toThousandth(toDriftCents(tuner)),
    ratio: toText(formatRatio(drift)),
    comma: toText(formatComma(drift)),
    commaCents,
    backCents,
    leftCents: toThousandth(commaCents + backCents),
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
        was: toText(toHomeRatio(tuner, divide(now, ratio), key)),
        now: toText(toHomeRatio(tuner, now, key)),
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
