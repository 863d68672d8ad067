import type { PrimeVector } from '../theory/index.js';
import type { Memory } from './memory.js';
import type { PairCost } from './pair-cost.js';
import type { ChoiceWeights } from './weights.js';

/** How the note that decided another one was there: by its key, by a pedal, in memory, struck together, or not at all. */
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
  /** The chord before was still held when it was struck, and it was placed again as that ended. */
  readonly without?: LateEnd | undefined;
}

/** A note held into a strike that ended soon after it, so that the strike was placed again without it. */
export interface LateEnd {
  readonly key: number;
  readonly point: PrimeVector;
  /** How long after the strike it ended, in milliseconds. */
  readonly afterMs: number;
}

/** A note or memory another note can have been decided by. */
export interface Decider {
  readonly presence: DeciderPresence;
  readonly key: number;
  readonly point: PrimeVector;
  readonly weight: number;
}

/**
 * What the notes of a strike can have been decided by beside each other: all that was there when it began. Kept as it
 * was, so that reasons can be given when somebody asks.
 */
export interface Background {
  readonly atMs: number;
  /** Settled notes that sounded, in the order they were struck. */
  readonly sounding: readonly Decider[];
  readonly memory: Memory;
  /** How far everything remembered is heard from where it was; see `hearScene`. */
  readonly level: PrimeVector;
  /** What new notes have of primes above 5; its 2, 3 and 5 don't matter. */
  readonly plane: PrimeVector;
  readonly weights: ChoiceWeights;
}

/** All it takes to say why the notes of one strike got their ratios. They are explained together, when one is asked for. */
export interface ReasonSource {
  readonly struck: readonly SoundingNote[];
  readonly background: Background;
  readonly pairCost: PairCost;
  reasons: ReadonlyMap<SoundingNote, Reason> | undefined;
  readonly without: LateEnd | undefined;
}

/**
 * A note that can be heard. Owned and updated in place by the tuner; others only read it.
 *
 * Its pitch is 100·key + deviation of `point` + the common offset + `lagCents`, in cents on the scale of MIDI keys.
 */
export interface SoundingNote {
  readonly id: number;
  /** The stream of playing it belongs to, a small integer from 0. */
  readonly part: number;
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
  /** Where the choice put the note before primes above 5 inflected it; what memory keeps. */
  frame: PrimeVector;
  /** Its own offset less the common one: 0 but for tied notes that glide behind, or stay, and for tempered harmony. */
  lagCents: number;
  /** `lagCents` when the running glide began, and where it ends: 0 unless the harmony is tempered. */
  lagFromCents: number;
  leanCents: number;
  /** A tied note's pitch, off its key in 12 equal, when the open strike began; or when it settled within that. */
  tiedCents: number;
  /** True once its strike has closed: its lattice point never changes again. */
  settled: boolean;
  keyDown: boolean;
  /** Caught by the sostenuto pedal. */
  sostenuto: boolean;
  /** When its key came up; Infinity while it is down. */
  releasedMs: number;
  /** It sounds in a chord that was given a pure seventh. */
  harmonic: boolean;
  /** Given when its strike closes: what `reasonOf` works its reason out from, or the reason itself. */
  reasonSource: ReasonSource | { readonly reason: Reason } | undefined;
  /** Its pitch as last told to the outlets, in cents. */
  reportedCents: number;
  /** Running integral of |lag| while other notes sounded against it, in cent-seconds. */
  impurityCentSeconds: number;
}
