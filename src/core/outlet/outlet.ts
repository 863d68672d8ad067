/**
 * One way of making a synthesizer sound exact pitches. It is told what the tuner decided, note by note, and what else
 * the player did, and writes channel messages to its sink at once and in order.
 *
 * Notes are named by the `id` the tuner gave them. Everything about a note is remembered as it was sent: its note-off
 * goes to the channel and key of its note-on whatever has changed since, and each note-on gets exactly one. Calls for
 * an id that isn't sounding (never started, ended, or drained) are ignored.
 *
 * `cents` is always the wanted pitch on the absolute scale of MIDI keys: 6900 is key 69 in 12 equal (A = 440 Hz),
 * without the player's own pitch wheel, which the outlet adds. It has no limit to either side; the outlet folds, clamps
 * and counts.
 *
 * `part` is the stream of playing a note belongs to (an input channel, or a track and channel of a file): a small
 * integer from 0. Controllers, program, input bend and pressure belong to a part.
 *
 * `atMs` never decreases from call to call. Arguments are trusted: they were checked where they came in.
 */
export interface Outlet {
  readonly kind: 'mpe' | 'multichannel' | 'mts';
  readonly counters: OutletCounters;
  /**
   * Puts the receiver in the right mode: MPE configuration, RPN 0 on each channel, bend centred. Once before anything
   * else, and on reopen: the receiver may be another one then, so notes are ended first, and what the parts have set is
   * sent again before their next notes.
   */
  open(): void;
  /** A new note: everything its channel needs first, then its note-on. `key` 0..127, `velocity` 1..127. */
  start(atMs: number, id: number, part: number, key: number, velocity: number, cents: number): void;
  /** The pitch of a note that can be heard moves to `cents`; sends only when the rounded value changes. */
  retune(atMs: number, id: number, cents: number): void;
  /**
   * The key went up: the note-off, as the note-on was sent. `velocity` 0..127. The note may sound on by pedal; its
   * channel stays taken until `end`.
   */
  release(atMs: number, id: number, velocity: number): void;
  /** The note can no longer be heard by key or pedal (always after its `release`): its channel may be used again. */
  end(atMs: number, id: number): void;
  /**
   * Any other channel message of the part as it came: poly pressure (`data1` is the played key), controller, program,
   * channel pressure, pitch bend. The low nibble of `status` is the input's own channel and doesn't matter here.
   * All Notes Off and All Sound Off are passed like the rest; whoever calls still says `release` and `end` for the notes.
   */
  control(atMs: number, part: number, status: number, data1: number, data2: number): void;
  /** A system message, passed unchanged. */
  system(bytes: Uint8Array): void;
  /**
   * Silence on every channel of the outlet, whatever the state, even one that an earlier run left behind: note-offs as
   * sent, pedals up, CC 123 and CC 120, bends centred. Programs and controllers stand, counters go on; a pedal that a part
   * holds down is pressed again before its next note, so whoever wants it up says so before.
   */
  drain(atMs: number): void;
  /**
   * A system message that passed has put the receiver back to its start: programs, controllers and wheels that parts have
   * set count as never set, all but pedals. In silence only, after a `drain`; `open` before anything is played again.
   */
  forget(): void;
}

/** What an outlet had to give up, counted since it was made. */
export interface OutletCounters {
  /** Times a note's bend (in `mts`, its tuning) reached the end of its range and wanted more. */
  clampedBends: number;
  /**
   * Notes that had to start on a channel where another note could still be heard, because none was free; in `mts`, on a
   * key that another note held.
   */
  sharedNotes: number;
  /** Notes that took a channel, and changed it, before the release hold time of the tail on it was over. */
  hurriedNotes: number;
  /**
   * Notes sent on another key than the one played: drift had moved them past a semitone or the bend range, or, in `mts`,
   * another note held their key.
   */
  foldedNotes: number;
  /** Most channels with notes on them at one time. */
  peakChannels: number;
}

/** Settings shared by the outlets that bend. */
export interface BendOptions {
  /** Bend range the receiving channels are given by RPN 0, in whole semitones 1..96. */
  readonly rangeSemitones: number;
  /** How long a released note's tail is kept from being bent by the next note, in milliseconds, 0 or more. */
  readonly releaseHoldMs: number;
}

/** Nothing given up yet. @example createCounters().sharedNotes  // 0 */
export function createCounters(): OutletCounters {
  return { clampedBends: 0, sharedNotes: 0, hurriedNotes: 0, foldedNotes: 0, peakChannels: 0 };
}
