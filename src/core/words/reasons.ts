import type { MomentNote } from '../score/index.js';
import { divide, noteName, type Origin, type PrimeVector, placeInterval } from '../theory/index.js';
import type { DeciderPresence, LateEnd } from '../tuner/index.js';

const PRESENCE: Readonly<Record<DeciderPresence, string>> = {
  held: 'held',
  pedalled: 'pedalled',
  recalled: 'recalled',
  together: 'struck together',
  first: 'the first note',
};

const HARMONIC = { 7: 'seventh', 11: 'eleventh', 13: 'thirteenth' } as const;

/**
 * Why a note got its pitch: the note that decided it, the interval between the two, and how that note was present; or
 * that it is tied over. Of a fixed note it decided the ratio alone: its pitch is its own.
 *
 * @param origin where the name of 1/1 is on the line of fifths: C is 0
 * @example
 * const [tied] = [{ presence: 'held' }];
 * formatReason(tied, [tied], { fifths: 0 })  // 'tied over'
 */
export function formatReason(note: MomentNote, notes: readonly MomentNote[], origin: Origin): string {
  const reason = formatOwnReason(note, notes, origin);
  return note.isFixed ? `fixed; ${reason}` : reason;
}

function formatOwnReason(note: MomentNote, notes: readonly MomentNote[], origin: Origin): string {
  if (note.presence === 'held') return 'tied over';
  if (note.presence === 'pedalled') return 'rings on by the pedal';
  const member = toHarmonicMember(note, notes);
  const pure =
    member === undefined
      ? ''
      : `; the pure ${HARMONIC[member.harmonic]} of the harmonic chord on ${noteName(member.root, origin)}`;
  const { presence, interval, deciderPoint, deciderKey, without } = note.reason;
  const again = without === undefined ? '' : `; ${formatLateEnd(without, origin)}`;
  if (presence === 'first') return `first note${pure}${again}`;
  const name = noteName(deciderPoint, origin, { key: deciderKey });
  return `${formatDecider({ presence, place: placeInterval(interval), name })}${pure}${again}`;
}

/** The deciding note: the interval from it, its name, and its presence. */
export interface NamedDecider {
  readonly presence: DeciderPresence;
  /** As `placeInterval` writes it: "a just major third above". */
  readonly place: string;
  readonly name: string;
}

/** @example formatDecider({ presence: 'held', place: 'a just major third above', name: 'C4⁰' })  // 'a just major third above C4⁰, held' */
export function formatDecider({ presence, place, name }: NamedDecider): string {
  return `${place} ${name}, ${PRESENCE[presence]}`;
}

/** As in: C4⁰ ended 60 ms later: placed again without it. */
function formatLateEnd({ key, point, afterMs }: LateEnd, origin: Origin): string {
  return `${noteName(point, origin, { key })} ended ${Math.round(afterMs)} ms later: placed again without it`;
}

/** A note with its pure place in a harmonic chord: as which harmonic, over which root. */
export interface HarmonicMember {
  readonly harmonic: 7 | 11 | 13;
  readonly root: PrimeVector;
}

/**
 * Whether a note was struck as the pure seventh, eleventh or thirteenth of a harmonic chord 4:5:6:7(:11:13). Such a
 * note has one of these primes that the others in the chord lack: single notes never get them, only chords do.
 */
export function toHarmonicMember(note: MomentNote, notes: readonly MomentNote[]): HarmonicMember | undefined {
  if (note.presence !== 'struck') return undefined;
  for (const [harmonic, at] of HARMONICS) {
    const least = Math.min(...notes.map((other) => other.point[at]));
    if (note.point[at] - least === 1) return { harmonic, root: divide(note.point, primeOf(at)) };
  }
  return undefined;
}

/** Primes above 5, each with its index in a vector. */
const HARMONICS = [
  [13, 5],
  [11, 4],
  [7, 3],
] as const;

function primeOf(at: number): PrimeVector {
  const vector: [number, number, number, number, number, number] = [0, 0, 0, 0, 0, 0];
  vector[at] = 1;
  return vector;
}
