/**
 * The messages of the wire as a table, with the section of the standard beside each.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1 (M1-DS); section names as printed there
 */

// Channel voice messages: the high nibble is the type, the low one the channel.
export const NOTE_OFF = 0x80; //         Channel Voice Messages: key, release velocity
export const NOTE_ON = 0x90; //          Channel Voice Messages: key, velocity; velocity 0 means note-off
export const POLY_PRESSURE = 0xa0; //    Channel Voice Messages, Aftertouch: key, pressure
export const CONTROL_CHANGE = 0xb0; //   Channel Voice Messages, Control Change: number, value
export const PROGRAM_CHANGE = 0xc0; //   Channel Voice Messages, Program Change: program
export const CHANNEL_PRESSURE = 0xd0; // Channel Voice Messages, Aftertouch: pressure
export const PITCH_BEND = 0xe0; //       Channel Voice Messages, Pitch Bend Change: 14 bits, LSB first

// System messages: the whole byte is the type.
export const SYSEX = 0xf0; //            System Exclusive Messages
export const END_OF_SYSEX = 0xf7; //     System Common Messages, EOX
export const TIMING_CLOCK = 0xf8; //     System Real Time Messages: one byte each from here up to FF

/**
 * The other system messages. F4, F5, F9 and FD are undefined.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, System Common Messages (F1..F6) and System Real Time Messages (FA..FF)
 * @example SYSTEM.stop  // 0xfc
 */
export const SYSTEM = {
  quarterFrame: 0xf1, //  MIDI Time Code Quarter Frame: one data byte
  songPosition: 0xf2, //  Song Position Pointer: two data bytes, LSB first
  songSelect: 0xf3, //    Song Select: one data byte
  tuneRequest: 0xf6, //   Tune Request: no data
  start: 0xfa,
  continue: 0xfb,
  stop: 0xfc,
  activeSensing: 0xfe,
  reset: 0xff,
} as const;

/**
 * How many data bytes follow a status byte: 0, 1 or 2. For SysEx, whose length is open, and for the undefined F4 and
 * F5, 0. Can't fail for a status byte 0x80..0xFF; other values are undefined. Hot path: allocates nothing.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Table I Summary of Status Bytes, Table V System Common Messages
 * @example dataLength(0xc5)  // 1: a program change
 */
export function dataLength(status: number): 0 | 1 | 2 {
  if (status < SYSEX) {
    const type = status & 0xf0;
    return type === PROGRAM_CHANGE || type === CHANNEL_PRESSURE ? 1 : 2;
  }
  if (status === SYSTEM.songPosition) return 2;
  return status === SYSTEM.quarterFrame || status === SYSTEM.songSelect ? 1 : 0;
}

/**
 * Whether a message strikes a key: a note-on with a velocity above 0.
 *
 * @param status 0x80..0xEF
 * @param data2  the velocity, 0..127
 * @see MIDI 1.0 Detailed Specification 4.2.1, Note-On: velocity 0 is equivalent to note-off
 * @example isNoteOn(0x93, 0)  // false
 */
export function isNoteOn(status: number, data2: number): boolean {
  return (status & 0xf0) === NOTE_ON && data2 > 0;
}

/**
 * Whether a message releases a key: a note-off, or a note-on with velocity 0.
 *
 * @param status 0x80..0xEF
 * @param data2  the velocity, 0..127
 * @see MIDI 1.0 Detailed Specification 4.2.1, Note-On and Note-Off
 * @example isNoteOff(0x93, 0)  // true
 */
export function isNoteOff(status: number, data2: number): boolean {
  const type = status & 0xf0;
  return type === NOTE_OFF || (type === NOTE_ON && data2 === 0);
}

/**
 * Numbers too wide for one data byte are sent as two: seven low bits (LSB) and seven high ones (MSB).
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change (LSB first) and Control Change
 */

/** The pitch-bend value that is no bend: 00 40 on the wire. */
export const BEND_CENTRE = 8192;

/** The highest 14-bit value: 7F 7F on the wire. */
export const FOURTEEN_BIT_MAX = 16383;

/**
 * The value 0..16383 of two data bytes. Pitch bend sends its LSB first: `toFourteenBit(data1, data2)`.
 *
 * @param lsb 0..127
 * @param msb 0..127
 * @example toFourteenBit(0x4f, 0x3b)  // 7631
 */
export function toFourteenBit(lsb: number, msb: number): number {
  return lsb | (msb << 7);
}

/**
 * The low data byte of a value 0..16383. Higher bits are dropped: range is the caller's.
 * @example toLsb(7631)  // 0x4f
 */
export function toLsb(value: number): number {
  return value & 0x7f;
}

/**
 * The high data byte of a value 0..16383. Beyond 16383 the result is no data byte: range is the caller's.
 * @example toMsb(7631)  // 0x3b
 */
export function toMsb(value: number): number {
  return (value >> 7) & 0x7f;
}

/**
 * Where MIDI messages go: a port, a track of a file, a test's list. One call a message, in the order of the wire.
 *
 * Channel messages are passed as three numbers, so that the note path allocates nothing; `data2` is 0 and ignored for
 * the two-byte messages (program change, channel pressure).
 */
export interface MidiSink {
  /**
   * @param status 0x80..0xEF: message type in the high nibble, channel 0..15 in the low one
   * @param data1  0..127
   * @param data2  0..127
   */
  channel(status: number, data1: number, data2: number): void;
  /** A whole system message: SysEx with its F0 and F7, or system common or real time. The sink may store the bytes. */
  system(bytes: Uint8Array): void;
}
