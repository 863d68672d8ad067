import { type PrimeVector, sameClass } from '../theory/index.js';
import { toCommonDrift, toDrift } from './ledger.js';
import type { Tuner } from './tuner.js';

/** What the commas walked, and what the common offset gave back of it. */
export interface DriftLeft {
  /** The comma product between the chord's last and first points; 1/1 for none. */
  readonly drift: PrimeVector;
  /** How far the common offset has moved the chord meanwhile, in cents. */
  readonly backCents: number;
}

/**
 * The drift of a chord, and how much of it the common offset has given back. What is left is the sum of both in cents: so
 * far the pitch of the music stands from where it was.
 *
 * The ledger is per key class: `backCents` is that of the lowest key with the drift of the chord; 0 if none has sounded.
 *
 * @param chordKeys keys of the chord, from the lowest up: what sounds, or in silence what sounded last
 * @example toDriftLeft(pumpedTuner, [60, 64, 67]).drift  // [4, -4, 1, 0, 0, 0]: 80/81, after one falling pump on C
 */
export function toDriftLeft({ ledger, notes, offset }: Tuner, chordKeys: readonly number[]): DriftLeft {
  const drift = toCommonDrift(ledger, chordKeys);
  const key = chordKeys.find((one) => sameClass(toDrift(ledger, one % 12), drift));
  const account = key === undefined ? undefined : ledger.accounts[key % 12];
  if (account === undefined) return { drift, backCents: 0 };
  const note = notes.find((one) => one.key === key);
  const now = note === undefined ? account.lastOffsetCents : offset.cents + note.lagCents;
  return { drift, backCents: now - account.firstOffsetCents };
}
