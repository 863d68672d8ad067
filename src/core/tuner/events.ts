import type { LedgerEntry } from './ledger.js';
import type { SoundingNote } from './note.js';

/** A pedal that holds notes: all that are struck while it is down (two of these), or those that are down as it goes down. */
export type Pedal = 'sustain' | 'sostenuto' | 'hold2';

/** What can happen to a tuner. `atMs` never decreases; an earlier time is taken for the latest one seen. */
export type TunerEvent =
  | { readonly kind: 'note-on'; readonly atMs: number; readonly part: number; readonly key: number }
  | { readonly kind: 'note-off'; readonly atMs: number; readonly part: number; readonly key: number }
  | {
      readonly kind: 'pedal';
      readonly atMs: number;
      readonly part: number;
      readonly pedal: Pedal;
      readonly down: boolean;
    }
  /** Every key of the part up (pedals still hold), or all of it silent at once. */
  | { readonly kind: 'keys-up' | 'silence'; readonly atMs: number; readonly part: number }
  /** Time has passed: lets glides and the pull do what is due. */
  | { readonly kind: 'time'; readonly atMs: number };

/**
 * Where a tuner's decisions go, one call each, in the order they must reach a synthesizer.
 *
 * A note starts once, may be retuned any number of times, is released when its key comes up and ends when nothing
 * holds it any more. `cents` is the note's pitch on the scale of MIDI keys (6900 is A = 440 Hz).
 */
export interface TunerOut {
  start(atMs: number, note: Readonly<SoundingNote>, cents: number): void;
  retune(atMs: number, note: Readonly<SoundingNote>, cents: number): void;
  release(atMs: number, note: Readonly<SoundingNote>): void;
  end(atMs: number, note: Readonly<SoundingNote>): void;
  /** A new line in the ledger. */
  enter(entry: LedgerEntry): void;
}
