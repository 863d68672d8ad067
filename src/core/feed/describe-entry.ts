import { divide, formatComma, formatRatio, type PrimeVector, withKeys } from '../theory/index.js';
import type { LedgerEntry, Tuner } from '../tuner/index.js';
import { namePoint, toHomeRatio } from './describe-note.js';
import type { EntryFact } from './facts.js';
import { LIMITS } from './limits.js';
import { toLength, toThousandth } from './round.js';

/** What an entry is filed under. */
export interface EntryPlace {
  /** Counted from 1 for each strategy. */
  readonly n: number;
  /** Pass of the piece that plays, from 1; 0 outside a piece. */
  readonly pass: number;
}

/**
 * A line of the books as it travels. To be called as it is entered: the note's places before and now are read from its
 * key class's account, which moves on.
 */
export function toEntryFact(tuner: Tuner, entry: LedgerEntry, { n, pass }: EntryPlace): EntryFact {
  const { strategy, held } = tuner.settings;
  const head = { n, strategy, atMs: toTime(entry.atMs), pass };
  switch (entry.kind) {
    case 'return': {
      const { key, ratio } = entry;
      const now = placeOf(tuner, key);
      return {
        ...head,
        kind: 'return',
        key,
        name: namePoint(tuner, now, key),
        ratio: toLength(formatRatio(ratio), LIMITS.text),
        comma: toLength(formatComma(ratio), LIMITS.text),
        cents: toThousandth(entry.cents),
        was: toHomeRatio(tuner, divide(now, ratio), key),
        now: toHomeRatio(tuner, now, key),
      };
    }
    case 'offset': {
      const { cause, struck, tied } = entry;
      const untilMs = toTime(entry.untilMs);
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
        untilMs: toTime(entry.untilMs),
        key,
        name: namePoint(tuner, placeOf(tuner, key), key),
        cents: toThousandth(entry.cents),
        centSeconds: toThousandth(entry.centSeconds),
      };
    }
  }
}

/** Where a key's class that has come back stands in the books, in the octave of the key. */
function placeOf({ ledger, originKey }: Tuner, key: number): PrimeVector {
  return withKeys(ledger.accounts[key % 12]!.lastPoint, key - originKey);
}

/** A pull is booked from half a tick before it began, which can be before the session did. */
function toTime(ms: number): number {
  return Math.max(0, toThousandth(ms));
}
