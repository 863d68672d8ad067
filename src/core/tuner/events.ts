import type { LedgerEntry } from './ledger.js';
import type { SoundingNote } from './note.js';
import type { TunerSettings } from './settings.js';

/** A pedal that holds notes: sustain and hold 2 all struck while down, sostenuto those down as it goes down. */
export type Pedal = 'sustain' | 'sostenuto' | 'hold2';

/** Velocity of a note-on or note-off without a measured one. MIDI 1.0 Detailed Specification 4.2.1, Note Off */
export const NO_VELOCITY = 64;

/**
 * Everything that can happen to a tuner: only `step` changes one. Live playing, files and viewers all use these events.
 *
 * `atMs` never decreases; an earlier time is taken for the latest one seen. `part` is a stream of playing, a small
 * integer from 0; `key` is 0..127; `velocity` is 0..127, {@link NO_VELOCITY} where it is left out. `finger` says which
 * finger of the part it is, 1..15, where fingers can play one key twice; 0 or left out where they can't.
 */
export type TunerEvent =
  | {
      readonly kind: 'note-on';
      readonly atMs: number;
      readonly part: number;
      readonly key: number;
      readonly velocity?: number;
      readonly finger?: number;
      /** The pitch of a note of a partner that can't be tuned, on the scale of MIDI keys (6900 is A = 440 Hz). */
      readonly fixedCents?: number;
    }
  | {
      readonly kind: 'note-off';
      readonly atMs: number;
      readonly part: number;
      readonly key: number;
      readonly velocity?: number;
      readonly finger?: number;
    }
  | {
      readonly kind: 'pedal';
      readonly atMs: number;
      readonly part: number;
      readonly pedal: Pedal;
      readonly down: boolean;
    }
  /** Every key of the part up, or of one finger unless that is 0; pedals still hold. */
  | { readonly kind: 'keys-up'; readonly atMs: number; readonly part: number; readonly finger?: number }
  /** All of the part silent at once. */
  | { readonly kind: 'silence'; readonly atMs: number; readonly part: number }
  /** Time has passed: glides and the pull do what is due. */
  | { readonly kind: 'time'; readonly atMs: number }
  /** Everything goes home: what sounds, in a glide, or the next strike. */
  | { readonly kind: 'home'; readonly atMs: number; readonly when: 'now' | 'next' }
  /** The offset stays fixed, without anchoring or pull, or moves again. */
  | { readonly kind: 'hold-drift'; readonly atMs: number; readonly on: boolean }
  /** Other settings from now on. Sounding notes continue, and glide where another pitch is asked of them. */
  | { readonly kind: 'settings'; readonly atMs: number; readonly settings: TunerSettings }
  /** After a fault everything is silent already: notes are forgotten, and nothing is reported. */
  | { readonly kind: 'restart'; readonly atMs: number };

/**
 * Receives a tuner's decisions, one call each, in the order they must reach a synthesizer.
 *
 * A note starts once, may be retuned any number of times, is released when its key comes up and ends when nothing holds
 * it any more. `cents` is the note's pitch on the scale of MIDI keys (6900 is A = 440 Hz).
 */
export interface TunerOut {
  start(atMs: number, note: Readonly<SoundingNote>, cents: number): void;
  retune(atMs: number, note: Readonly<SoundingNote>, cents: number): void;
  release(atMs: number, note: Readonly<SoundingNote>): void;
  end(atMs: number, note: Readonly<SoundingNote>): void;
  enter(entry: LedgerEntry): void;
}

/** Takes the decisions of a tuner that isn't played. */
export const UNHEARD: TunerOut = { start() {}, retune() {}, release() {}, end() {}, enter() {} };
