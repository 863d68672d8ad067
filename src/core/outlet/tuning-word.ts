/** Steps of 100/16384 cent in a semitone. */
const STEPS = 16384;

/** The highest tuning word: 7F 7F 7E, because 7F 7F 7F means "no change". */
export const TOP_TUNING = 128 * STEPS - 2;

/**
 * The tuning word nearest a pitch, as one number: the semitone times 16384 plus the fraction. Rounding carries into the
 * semitone, and ends at 00 00 00 and 7F 7F 7E, the lowest and highest pitch a key can be tuned to.
 *
 * @param cents 6900 is key 69, without limit
 * @returns 0..{@link TOP_TUNING}
 * @see MIDI Tuning Updated Specification, Frequency Data Format
 * @example toTuning(6386.314)  // 1046334: 3F 6E 3E, a pure third above middle C
 */
export function toTuning(cents: number): number {
  return Math.min(Math.max(toTuningSteps(cents), 0), TOP_TUNING);
}

/**
 * Whether a pitch is beyond the tuning words, so that {@link toTuning} clamps.
 *
 * @param cents 6900 is key 69, without limit
 * @example isBeyondTuning(-1)  // true
 */
export function isBeyondTuning(cents: number): boolean {
  const steps = toTuningSteps(cents);
  return steps < 0 || steps > TOP_TUNING;
}

/**
 * A single-note tuning change, real time, for one key: takes effect at once, also on a sounding note. A fresh array
 * each time, because the sink may store it.
 *
 * @param device  0..127, 127 for all devices
 * @param program tuning program 0..127
 * @param key     0..127
 * @param tuning  0..{@link TOP_TUNING}, from {@link toTuning}
 * @see MIDI Tuning Updated Specification, Single Note Tuning Change (Real-Time)
 * @example formatTuningChange(0x7f, 0, 64, toTuning(6386.314))  // F0 7F 7F 08 02 00 01 40 3F 6E 3E F7
 */
export function formatTuningChange(device: number, program: number, key: number, tuning: number): Uint8Array {
  const xx = tuning >> 14;
  const yy = (tuning >> 7) & 0x7f;
  const zz = tuning & 0x7f;
  return Uint8Array.of(0xf0, 0x7f, device, 0x08, 0x02, program, 1, key, xx, yy, zz, 0xf7);
}

function toTuningSteps(cents: number): number {
  return Math.round((cents * STEPS) / 100);
}

/**
 * The key a SysEx tunes, if it is a real-time tuning change of a single key: F0 7F dd 08 02 tt 01 kk …
 * @see MIDI Tuning Updated Specification, Single Note Tuning Change (Real-Time)
 * @returns 0..127; `undefined` for any other message
 * @example toTunedKey(Uint8Array.of(0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 60, 60, 0, 0, 0xf7))  // 60
 */
export function toTunedKey(bytes: Uint8Array): number | undefined {
  const isTuning =
    bytes.length === 12 &&
    bytes[0] === 0xf0 &&
    bytes[1] === 0x7f &&
    bytes[3] === 0x08 &&
    bytes[4] === 0x02 &&
    bytes[6] === 1;
  return isTuning ? bytes[7] : undefined;
}

/** Whether two tuning changes are for the same device and tuning program. */
export function isSamePlace(a: Uint8Array, b: Uint8Array): boolean {
  return a[2] === b[2] && a[5] === b[5];
}
