/**
 * The messages of the wire as a table, with the section of the standard beside each.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1 (M1-DS); section names as printed there
 */

// Channel voice messages: the high nibble is the type, the low one the channel.
export const NOTE_OFF = 0x80; //               Channel Voice Messages: key, release velocity
export const NOTE_ON = 0x90; //                Channel Voice Messages: key, velocity; velocity 0 means note-off
export const POLY_PRESSURE = 0xa0; //          Channel Voice Messages, Aftertouch: key, pressure
export const CONTROL_CHANGE = 0xb0; //         Channel Voice Messages, Control Change: number, value
export const PROGRAM_CHANGE = 0xc0; //         Channel Voice Messages, Program Change: program
export const CHANNEL_PRESSURE = 0xd0; //       Channel Voice Messages, Aftertouch: pressure
export const PITCH_BEND = 0xe0; //             Channel Voice Messages, Pitch Bend Change: 14 bits, LSB first

// System messages: the whole byte is the type.
export const SYSEX = 0xf0; //                  System Exclusive Messages
export const TIME_CODE_QUARTER_FRAME = 0xf1; // System Common Messages: one data byte
export const SONG_POSITION = 0xf2; //          System Common Messages: two data bytes
export const SONG_SELECT = 0xf3; //            System Common Messages: one data byte
export const TUNE_REQUEST = 0xf6; //           System Common Messages: no data
export const END_OF_SYSEX = 0xf7; //           System Common Messages, EOX
export const TIMING_CLOCK = 0xf8; //           System Real Time Messages; from here up all are one byte
export const START = 0xfa; //                  System Real Time Messages
export const CONTINUE = 0xfb; //               System Real Time Messages
export const STOP = 0xfc; //                   System Real Time Messages
export const ACTIVE_SENSING = 0xfe; //         System Real Time Messages
export const SYSTEM_RESET = 0xff; //           System Real Time Messages

/**
 * How many data bytes follow a status byte: 0, 1 or 2; for SysEx, whose length is open, and for the undefined
 * F4 and F5, 0.
 *
 * Can't fail for a status byte 0x80..0xFF; anything else has no meaning here. Hot path: allocates nothing.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Table I Summary of Status Bytes, Table V System Common Messages
 * @example dataLength(0xc5)  // 1: a program change
 */
export function dataLength(status: number): 0 | 1 | 2 {
  if (status < SYSEX) {
    const type = status & 0xf0;
    return type === PROGRAM_CHANGE || type === CHANNEL_PRESSURE ? 1 : 2;
  }
  if (status === SONG_POSITION) return 2;
  return status === TIME_CODE_QUARTER_FRAME || status === SONG_SELECT ? 1 : 0;
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
 * Whether a message lets a key go: a note-off, or a note-on with velocity 0.
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
