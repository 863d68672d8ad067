import {
  divide,
  multiply,
  type PrimeVector,
  sameClass,
  toDeviationCents,
  UNISON,
  withKeys,
} from '../theory/index.js';
import { createDriftLevel, type DriftLevel } from './drift.js';
import type { SoundingNote } from './note.js';

/** A key class came back at another lattice point. */
export interface ReturnEntry {
  readonly kind: 'return';
  readonly atMs: number;
  readonly noteId: number;
  readonly part: number;
  readonly key: number;
  /** Point now ÷ point before: a product of commas that spans no key. 80/81 is one syntonic comma down. */
  readonly ratio: PrimeVector;
  readonly cents: number;
}

/** The common offset moved. */
export interface OffsetEntry {
  readonly kind: 'offset';
  readonly atMs: number;
  readonly untilMs: number;
  readonly cents: number;
  /**
   * The first strike took its place; a strike was anchored, tempered, or tuned to a partner that can't be; the pull
   * moved; the player asked for home; or a plan of the whole piece decided it.
   */
  readonly cause: 'first strike' | 'anchor' | 'temper' | 'partner' | 'pull' | 'home' | 'plan';
  /** How many new notes took it at once, and how many tied notes glided with it. */
  readonly struck: number;
  readonly tied: number;
}

/** A tied note kept its pitch while new harmony was elsewhere, or a note was tempered. */
export interface ImpurityEntry {
  readonly kind: 'impurity';
  readonly atMs: number;
  readonly untilMs: number;
  readonly noteId: number;
  readonly part: number;
  readonly key: number;
  /** How far from the new harmony it was, at its end. */
  readonly cents: number;
  /** The same over time: its distance from the others, in cents, times seconds. */
  readonly centSeconds: number;
}

/** The harmony as a body moved on the lattice: a step of the drift. */
export interface DriftEntry {
  readonly kind: 'drift';
  readonly atMs: number;
  /** A note that shows it: the lowest struck one there, of those that came back there if there are any. */
  readonly noteId: number;
  readonly part: number;
  readonly key: number;
  /** A product of commas: 80/81 is one syntonic comma down. The product of all steps is the drift. */
  readonly ratio: PrimeVector;
  readonly cents: number;
  /** Whether that note itself came back by the step; else it is where the harmony went. */
  readonly isReturn: boolean;
  /** The key of the sounding note that a return was tuned to, if one decided it. */
  readonly byKey: number | undefined;
}

/** A line of the ledger. */
export type LedgerEntry = ReturnEntry | DriftEntry | OffsetEntry | ImpurityEntry;

/** Who has paid how much, since the tuner was made. All in cents but the last, which is in cent-seconds. */
export interface LedgerTotals {
  /** Distance tied notes travelled while they sounded, summed over notes. */
  glidedCents: number;
  /** Distance key classes jumped between one sounding and the next, summed. */
  jumpedCents: number;
  /** How much the common offset has moved, signs left out. */
  offsetTravelCents: number;
  returns: number;
  impurityCentSeconds: number;
}

/** The account of one key class. */
export interface Account {
  /** Its first point, and its last. */
  readonly firstPoint: PrimeVector;
  readonly firstOffsetCents: number;
  lastPoint: PrimeVector;
  lastOffsetCents: number;
  lastPitchCents: number;
  /** Product of its returns. */
  returned: PrimeVector;
}

/** One account a key class, the drift, the moves of the common offset, and the totals. */
export interface Ledger {
  readonly accounts: (Account | undefined)[];
  drift: DriftLevel;
  movedCents: number;
  readonly totals: LedgerTotals;
}

/** An empty ledger. */
export function createLedger(): Ledger {
  return {
    accounts: new Array<Account | undefined>(12).fill(undefined),
    drift: createDriftLevel(),
    movedCents: 0,
    totals: { glidedCents: 0, jumpedCents: 0, offsetTravelCents: 0, returns: 0, impurityCentSeconds: 0 },
  };
}

/**
 * Enters a note that has settled: opens its key class's account, or compares with the last time it sounded.
 *
 * @param offsetCents the note's own offset: the common one and its lag
 * @returns the entry, if it came back at another point
 */
export function enterSettled(
  ledger: Ledger,
  note: Readonly<SoundingNote>,
  offsetCents: number,
): ReturnEntry | undefined {
  const account = ledger.accounts[note.keyClass];
  const pitchCents = note.deviationCents + offsetCents;
  if (account === undefined) {
    ledger.accounts[note.keyClass] = {
      firstPoint: note.point,
      firstOffsetCents: offsetCents,
      lastPoint: note.point,
      lastOffsetCents: offsetCents,
      lastPitchCents: pitchCents,
      returned: UNISON,
    };
    return undefined;
  }
  const before = account.lastPoint;
  if (note.fixedCents === undefined)
    ledger.totals.jumpedCents += Math.abs(pitchCents - account.lastPitchCents);
  account.lastOffsetCents = offsetCents;
  account.lastPitchCents = pitchCents;
  if (sameClass(before, note.point)) return undefined;

  const ratio = withKeys(divide(note.point, before), 0);
  account.lastPoint = note.point;
  account.returned = multiply(account.returned, ratio);
  // What can't be tuned came back at its own pitch, whatever the ratio.
  if (note.fixedCents !== undefined) return undefined;
  ledger.totals.returns += 1;
  return {
    kind: 'return',
    atMs: note.struckMs,
    noteId: note.id,
    part: note.part,
    key: note.key,
    ratio,
    cents: toDeviationCents(ratio),
  };
}

/**
 * Enters the last pitch of a note when it ends: it may have moved since it settled, and the next return counts from
 * there.
 *
 * @param offsetCents the note's own offset: the common one and its lag
 */
export function enterEnded(ledger: Ledger, note: Readonly<SoundingNote>, offsetCents: number): void {
  const account = ledger.accounts[note.keyClass]!;
  account.lastOffsetCents = offsetCents;
  account.lastPitchCents = note.deviationCents + offsetCents;
}

/** Enters a move of the common offset at once, so that the moves always add up to the offset. */
export function enterMove(ledger: Ledger, cents: number): void {
  ledger.movedCents += cents;
}

/** Enters the offset's travel when a strike or a run of the pull is over: revisions don't count twice. */
export function enterTravel(ledger: Ledger, cents: number): void {
  ledger.totals.offsetTravelCents += Math.abs(cents);
}

/**
 * How far a key class has moved on the lattice since it first sounded: the product of its returns, a comma product. 1/1
 * for a key class that has not sounded.
 *
 * @param keyClass 0..11
 * @example toReturned(pumpedTuner.ledger, 0)  // [4, -4, 1, 0, 0, 0]: 80/81, after one falling pump on C
 */
export function toReturned(ledger: Ledger, keyClass: number): PrimeVector {
  return ledger.accounts[keyClass]?.returned ?? UNISON;
}
