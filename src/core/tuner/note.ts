import type { PrimeVector } from '../theory/index.js';
import type { Memory } from './memory.js';
import type { PairCost } from './pair-cost.js';
import type { ChoiceWeights } from './weights.js';

/** How the deciding note was present: by its key, by a pedal, in memory, struck together, or not at all. */
export type DeciderPresence = 'held' | 'pedalled' | 'recalled' | 'together' | 'first';

/** Why a note got its ratio: the note nearest to it in harmony, and the interval from that one to this. */
export interface Reason {
  readonly presence: DeciderPresence;
  /** The deciding note's key; for a recalled one the key it was last heard on. -1 for a first note. */
  readonly deciderKey: number;
  /** The deciding note's lattice point, octaves included. */
  readonly deciderPoint: PrimeVector;
  /** This note ÷ the deciding note, octaves included. */
  readonly interval: PrimeVector;
  /** Set if the chord before was still held, and the note was placed again when that ended. */
  readonly without?: LateEnd | undefined;
}

/** A note held into a strike that ended soon after it, so that the strike was placed again without it. */
export interface LateEnd {
  readonly key: number;
  readonly point: PrimeVector;
  /** How long after the strike it ended, in milliseconds. */
  readonly afterMs: number;
}

/** A note or memory that can decide another note. */
export interface Decider {
  readonly presence: DeciderPresence;
  readonly key: number;
  readonly point: PrimeVector;
  readonly weight: number;
}

/**
 * What could decide the notes of a strike beside each other: everything there when it began, copied, so that reasons
 * can be given later.
 */
export interface Background {
  readonly atMs: number;
  /** Settled notes that sounded, in the order they were struck. */
  readonly sounding: readonly Decider[];
  readonly memory: Memory;
  /** How far everything remembered is moved; see `fillScene`. */
  readonly level: PrimeVector;
  /** The primes above 5 of new notes; its 2, 3 and 5 don't matter. */
  readonly plane: PrimeVector;
  readonly weights: ChoiceWeights;
}

/** What it takes to explain the ratios of one strike. They are explained together, when one is asked for. */
export interface ReasonSource {
  readonly struck: readonly SoundingNote[];
  readonly background: Background;
  readonly pairCost: PairCost;
  reasons: ReadonlyMap<SoundingNote, Reason> | undefined;
  readonly without: LateEnd | undefined;
}

/**
 * A note that can be heard. Owned and updated in place by the tuner; others only read it. Its pitch is 100·key +
 * deviation of `point` + the common offset + `lagCents`, in cents on the scale of MIDI keys.
 */
export interface SoundingNote {
  readonly id: number;
  /** The stream of playing it belongs to, a small integer from 0. */
  readonly part: number;
  /** The finger that plays it, 1..15; 0 where the part has none. */
  readonly finger: number;
  readonly key: number;
  readonly keyClass: number;
  readonly struckMs: number;
  /** Note-on and note-off velocity, 0..127. */
  readonly velocity: number;
  releaseVelocity: number;
  /** Lattice point relative to the tonic: spans exactly `key` minus the origin's key. */
  point: PrimeVector;
  /** Cents of `point` away from its key in 12 equal. */
  deviationCents: number;
  /** Its place before primes above 5 inflected it; this is what memory stores. */
  frame: PrimeVector;
  /** Its own offset less the common one: not 0 for tied notes that glide or stay, and for tempered harmony. */
  lagCents: number;
  /** `lagCents` when the running glide began, and where it ends: 0 unless the harmony is tempered. */
  lagFromCents: number;
  leanCents: number;
  /** A tied note's pitch, off its key in 12 equal, when the open strike began; or when it settled within that. */
  tiedCents: number;
  /** True once its strike has closed: its lattice point never changes again. */
  settled: boolean;
  keyDown: boolean;
  sostenuto: boolean;
  /** When its key came up; Infinity while it is down. */
  releasedMs: number;
  /** It sounds in a chord that was given a pure seventh. */
  harmonic: boolean;
  /** Given when its strike closes: what `reasonOf` works its reason out from, or the reason itself. */
  reasonSource: ReasonSource | { readonly reason: Reason } | undefined;
  reportedCents: number;
  /** The pitch of a note that can't be tuned, on the scale of MIDI keys: `lagCents` keeps it there. */
  readonly fixedCents: number | undefined;
  /** Running integral of |lag| while other notes sounded against it, in cent-seconds. */
  impurityCentSeconds: number;
}
