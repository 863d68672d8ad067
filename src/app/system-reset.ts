/**
 * Messages that reset a whole receiver with its bend ranges and zones, so that an outlet must be opened again after
 * them. `undefined` matches any byte.
 */
const RESETS: readonly (readonly (number | undefined)[])[] = [
  // General MIDI System Level 1 (RP-003) on and off, and Level 2 on.
  [0xf0, 0x7e, undefined, 0x09, 0x01, 0xf7],
  [0xf0, 0x7e, undefined, 0x09, 0x02, 0xf7],
  [0xf0, 0x7e, undefined, 0x09, 0x03, 0xf7],
  // Two makers' extensions of General MIDI; common practice, no source.
  [0xf0, 0x41, undefined, 0x42, 0x12, 0x40, 0x00, 0x7f, 0x00, 0x41, 0xf7],
  [0xf0, 0x43, undefined, 0x4c, 0x00, 0x00, 0x7e, 0x00, 0xf7],
];

/**
 * Whether a whole SysEx message, F0 to F7, resets its receiver.
 * @example isSystemReset(Uint8Array.of(0xf0, 0x7e, 0x7f, 0x09, 0x01, 0xf7)) // true: General MIDI on
 */
export function isSystemReset(bytes: Uint8Array): boolean {
  return RESETS.some(
    (reset) =>
      reset.length === bytes.length && reset.every((byte, i) => byte === undefined || byte === bytes[i]),
  );
}
