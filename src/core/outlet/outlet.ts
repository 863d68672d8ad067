/**
 * One way of making a synthesizer sound exact pitches. It receives the tuner's decisions, note by note, and what else
 * the player did, and writes channel messages to its sink at once and in order.
 *
 * Notes have the `id` of the tuner. They are stored as sent: each note-on gets exactly one note-off, on the same
 * channel and key whatever has changed since. Calls for an id that isn't sounding (never started, ended, or drained)
 * are ignored.
 *
 * `cents` is the wanted pitch on the scale of MIDI keys: 6900 is key 69 in 12 equal (A = 440 Hz), without the player's
 * pitch wheel, which the outlet adds. It has no limit; the outlet folds, clamps and counts.
 *
 * `part` is the stream of playing a note belongs to (an input channel, or a track and channel of a file): a small
 * integer from 0. Controllers, program, input bend and pressure belong to a part. An MPE zone played into Leeway is one
 * part; `finger` says which of its member channels, 1..15, a note or message came on. Bend, pressure and CC 74 of a
 * finger are for its own notes whose keys are down. 0 stands for the part as a whole. `atMs` never decreases from call to
 * call. Arguments are trusted: they were checked where they came in.
 */
export interface Outlet {
  readonly kind: 'mpe' | 'multichannel' | 'mts';
  readonly counters: OutletCounters;
  /**
   * Sets the receiver's mode: MPE configuration, RPN 0 on each channel, bend centred. Call it first, and on reopen: the
   * receiver may be another one then, so notes are ended first, and what the parts have set is sent again before their
   * next notes.
   */
  open(): void;
  /**
   * As {@link open}, for a receiver that may still sound from an earlier run: first silence on every channel the outlet
   * may use (note-offs as sent, pedals up, CC 123, CC 120), then modes, ranges and bends. The other way round, notes left
   * hanging would jump in pitch before they end.
   */
  silenceAndOpen(): void;
  /** A new note: first everything its channel needs, then its note-on. `key` 0..127, `velocity` 1..127. */
  start(
    atMs: number,
    id: number,
    part: number,
    key: number,
    velocity: number,
    cents: number,
    finger?: number,
  ): void;
  /** Moves the pitch of an audible note to `cents`; sends only when the rounded value changes. */
  retune(atMs: number, id: number, cents: number): void;
  /**
   * The key went up: the note-off, as the note-on was sent. `velocity` 0..127. A pedal may still hold the note; its
   * channel stays taken until `end`.
   */
  release(atMs: number, id: number, velocity: number): void;
  /** The note is no longer audible by key or pedal (always after its `release`): its channel may be used again. */
  end(atMs: number, id: number): void;
  /**
   * Any other channel message of the part, unchanged: poly pressure (`data1` is the played key), controller, program,
   * channel pressure, pitch bend. The low nibble of `status` is the input's channel and is ignored. All Notes Off and
   * All Sound Off pass like the rest; the caller still calls `release` and `end` for the notes.
   */
  control(atMs: number, part: number, status: number, data1: number, data2: number, finger?: number): void;
  system(bytes: Uint8Array): void;
  /**
   * Silence on every channel of the outlet in any state, even one that an earlier run left: note-offs as sent, pedals
   * up, CC 123 and CC 120, bends centred. Programs, controllers and counters stay. A pedal that a part holds down is
   * pressed again before its next note, so lift it before if that is wanted.
   */
  drain(atMs: number): void;
  /**
   * A passed system message has reset the receiver: programs, controllers and wheels that parts have set count as never
   * set, pedals stay. Only in silence, after a `drain`; call `open` before anything is played again.
   */
  forget(): void;
}

/** What an outlet couldn't do, counted since it was made. */
export interface OutletCounters {
  /**
   * Times a note's bend (in `mts`, its tuning) was clamped at the end of its range, or the player's wheel gave way to
   * keep a chord of its part in tune there.
   */
  clampedBends: number;
  /**
   * Notes that had to start on a channel where another note was still audible; in `mts`, on a key that another note
   * held.
   */
  sharedNotes: number;
  /** Notes that took a channel, and changed it, before the release hold time of the tail on it was over. */
  hurriedNotes: number;
  /**
   * Notes sent on another key than the one played: drift had moved them past a semitone or what the bend range carries,
   * or, in `mts`, another note held their key.
   */
  foldedNotes: number;
  /** Most channels with notes on them at one time. */
  peakChannels: number;
}

/** Settings shared by the outlets that bend. */
export interface BendOptions {
  /** Bend range the receiving channels are given by RPN 0, in whole semitones 1..96. */
  readonly rangeSemitones: number;
  /** How long a released note's tail is protected from the bend of the next note, in milliseconds, 0 or more. */
  readonly releaseHoldMs: number;
}

/** All counters at 0. @example createCounters().sharedNotes  // 0 */
export function createCounters(): OutletCounters {
  return { clampedBends: 0, sharedNotes: 0, hurriedNotes: 0, foldedNotes: 0, peakChannels: 0 };
}
