import type { MidiSink } from '../midi/index.js';

/**
 * One way of making a synthesizer sound exact pitches. It is told what the tuner decided, note by note, and what else
 * the player did, and writes channel messages to its sink at once and in order.
 *
 * Notes are named by the `id` the tuner gave them. Everything about a note is remembered as it was sent: its note-off
 * goes to the channel and key of its note-on whatever has changed since.
 *
 * `cents` is always the wanted pitch on the absolute scale of MIDI keys: 6900 is key 69 in 12 equal (A = 440 Hz).
 * It has no limit to either side; the outlet folds, clamps and counts.
 *
 * `part` is the stream of playing a note belongs to (an input channel, or a track and channel of a file): a small
 * integer from 0. Controllers, program, input bend and pressure belong to a part.
 *
 * `atMs` never decreases from call to call.
 */
export interface Outlet {
  readonly kind: 'mpe' | 'multichannel' | 'mts';
  readonly counters: OutletCounters;
  /** Puts the receiver in the right mode: MPE configuration, RPN 0 on each channel, bend centred. Once, and on reopen. */
  open(): void;
  /** A new note: everything its channel needs first, then its note-on. `velocity` 1..127. */
  start(atMs: number, id: number, part: number, key: number, velocity: number, cents: number): void;
  /** The pitch of a note that can be heard moves to `cents`; sends a bend only when its rounded value changes. */
  retune(atMs: number, id: number, cents: number): void;
  /** The key went up: the note-off, as the note-on was sent. The note may sound on by pedal; its channel stays taken. */
  release(atMs: number, id: number, velocity: number): void;
  /** The note can no longer be heard by key or pedal (always after its `release`): its channel may be used again. */
  end(atMs: number, id: number): void;
  /**
   * Any other channel message of the part as it came: poly pressure (`data1` is the played key), controller, program,
   * channel pressure, pitch bend. The low nibble of `status` is the input's own channel and doesn't matter here.
   */
  control(atMs: number, part: number, status: number, data1: number, data2: number): void;
  /** A system message, passed unchanged. */
  system(bytes: Uint8Array): void;
  /** Silence, whatever the state: note-offs as sent, pedals up, CC 123 and CC 120, bends centred. Then as after `open`. */
  drain(atMs: number): void;
}

/** What an outlet had to give up, counted since it was made. */
export interface OutletCounters {
  /** Bends that wanted more than the range. */
  clampedBends: number;
  /** Notes that had to share a channel (or, in `mts`, a key) with a sounding note of another pitch. */
  sharedNotes: number;
  /** Notes whose channel was taken before its release hold time was over. */
  hurriedNotes: number;
  /** Notes sent on another key than the one played, because drift had moved them past a semitone. */
  foldedNotes: number;
  /** Most channels in use at one time. */
  peakChannels: number;
}

/** Settings shared by the outlets that bend. */
export interface BendOptions {
  /** Bend range the receiving channels are given by RPN 0, in semitones 1..96. */
  readonly rangeSemitones: number;
  /** How long a released note's tail is kept from being bent by the next note, in milliseconds. */
  readonly releaseHoldMs: number;
}

/** An outlet's constructor takes its sink and its options; see `mpe.ts`, `multichannel.ts` and `mts.ts`. */
export type { MidiSink };
