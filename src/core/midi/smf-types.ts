/**
 * What a Standard MIDI File holds, as plain data: every event, tick and byte, so that nothing is lost between reading
 * and writing. Objects of one kind are always built with their fields in the order written here (one hidden class,
 * quick loops).
 *
 * @see Standard MIDI Files 1.0 (RP-001)
 */

/**
 * What a tick is worth: a part of a quarter note, or a part of a film or video frame. `ticksPerQuarter` is 1..32767,
 * `ticksPerFrame` 1..255. 29 frames a second means 30 drop-frame, really 29.97.
 *
 * @see Standard MIDI Files 1.0, Header Chunks
 * @example
 * const milliseconds: Division = { kind: 'smpte', framesPerSecond: 25, ticksPerFrame: 40 };
 * 1000 / (milliseconds.framesPerSecond * milliseconds.ticksPerFrame)  // 1: a tick in ms, stored as E7 28
 */
export type Division =
  | { kind: 'ppq'; ticksPerQuarter: number }
  | { kind: 'smpte'; framesPerSecond: 24 | 25 | 29 | 30; ticksPerFrame: number };

/** A channel message: `status` 0x80..0xEF, data bytes 0..127, `data2` 0 where the message has only one. */
export interface ChannelEvent {
  kind: 'channel';
  tick: number;
  status: number;
  data1: number;
  data2: number;
}

/**
 * A SysEx event. `data` is what the file stores after the length, with the closing F7 if there is one. `lead` F0 begins
 * a message on the wire; F7 continues one, or escapes any bytes at all.
 */
export interface SysexEvent {
  kind: 'sysex';
  tick: number;
  lead: 0xf0 | 0xf7;
  data: Uint8Array;
}

/** A meta event, known or not: `type` 0..127 (see {@link META}), `data` as stored, of any length and encoding. */
export interface MetaEvent {
  kind: 'meta';
  tick: number;
  type: number;
  data: Uint8Array;
}

/** One event of a track. `tick` counts from the start of the track: an integer, 0 or more. */
export type TrackEvent = ChannelEvent | SysexEvent | MetaEvent;

/** A track: events with non-decreasing ticks. End-of-track is an event like any other, always last, exactly once. */
export interface Track {
  kind: 'track';
  events: TrackEvent[];
}

/** A chunk of another kind, unchanged. `id` has four bytes. */
export interface UnknownChunk {
  kind: 'unknown';
  id: Uint8Array;
  data: Uint8Array;
}

/**
 * A whole file. Chunks are in the order of the file, tracks and others mixed; `headerExtra` holds header bytes beyond
 * the sixth; `wrapper` says whether the file is inside a RIFF form of type RMID.
 */
export interface MidiFile {
  format: 0 | 1 | 2;
  division: Division;
  headerExtra: Uint8Array;
  chunks: (Track | UnknownChunk)[];
  wrapper: 'none' | 'riff';
}

/**
 * Types of meta events.
 *
 * @see Standard MIDI Files 1.0, Meta-Events; `port` (0x21) is common practice outside the standard
 * @example META.tempo  // 0x51
 */
export const META = {
  sequenceNumber: 0x00,
  text: 0x01,
  copyright: 0x02,
  trackName: 0x03,
  instrumentName: 0x04,
  lyric: 0x05,
  marker: 0x06,
  cuePoint: 0x07,
  channelPrefix: 0x20,
  port: 0x21,
  endOfTrack: 0x2f,
  tempo: 0x51,
  smpteOffset: 0x54,
  timeSignature: 0x58,
  keySignature: 0x59,
  sequencerSpecific: 0x7f,
} as const;

/**
 * The tracks of a file, in order, without the chunks of other kinds. Empty for a file without tracks.
 * @example
 * const unknown = { kind: 'unknown', id: 'XFIH', data: new Uint8Array(0) };
 * tracksOf({ ...file, chunks: [unknown, ...file.chunks] }).length  // 1
 */
export function tracksOf(file: MidiFile): Track[] {
  return file.chunks.filter((chunk) => chunk.kind === 'track');
}
