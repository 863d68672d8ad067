/**
 * Numbers too wide for one data byte travel as two: seven low bits (LSB) and seven high ones (MSB).
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
 * @example toFourteenBit(0x4f, 0x3b)  // 7631
 */
export function toFourteenBit(lsb: number, msb: number): number {
  return lsb | (msb << 7);
}

/** The low data byte of a value 0..16383. @example toLsb(7631)  // 0x4f */
export function toLsb(value: number): number {
  return value & 0x7f;
}

/** The high data byte of a value 0..16383. @example toMsb(7631)  // 0x3b */
export function toMsb(value: number): number {
  return (value >> 7) & 0x7f;
}
