import { dataLength, END_OF_SYSEX, SYSEX, TIMING_CLOCK } from '../../core/midi/index.js';

/**
 * What keeps bytes from being one whole message that a port can carry, as the end of a sentence; undefined if nothing.
 *
 * The systems below don't check: a byte above 127 among the data arrives as another byte, half a message prints to the
 * terminal or swallows the next one. F4, F5, F9 and FD, which the standard leaves undefined, can't be carried by all of
 * them, and so by none. Hot path: allocates nothing for a good message.
 *
 * @param sysexLimitBytes longest SysEx, F0 and F7 included
 * @see MIDI 1.0 Detailed Specification 4.2.1, Data Format
 * @example findFault(Uint8Array.of(0x90, 60), 5000)  // 'it has 2 bytes, and 3 are needed'
 */
export function findFault(bytes: Uint8Array, sysexLimitBytes: number): string | undefined {
  const { length } = bytes;
  if (length === 0) return 'it is empty';
  const status = bytes[0];
  if (status < 0x80) return 'it begins with a data byte';
  if (status === SYSEX) {
    if (length < 2 || bytes[length - 1] !== END_OF_SYSEX) return 'it is a SysEx without its end';
    if (length > sysexLimitBytes)
      return `it is a SysEx of ${length} bytes, and ${sysexLimitBytes} is the most this system carries`;
    return findStatus(bytes, length - 1);
  }
  if (isUndefined(status)) return 'its status byte is undefined in the standard';
  const wanted = 1 + (status >= TIMING_CLOCK ? 0 : dataLength(status));
  if (length !== wanted) return `it has ${length} bytes, and ${wanted} are needed`;
  return findStatus(bytes, length);
}

/** F4, F5, F9 and FD; and F7, which only ends a SysEx. */
function isUndefined(status: number): boolean {
  return status === 0xf4 || status === 0xf5 || status === 0xf9 || status === 0xfd || status === END_OF_SYSEX;
}

function findStatus(bytes: Uint8Array, end: number): string | undefined {
  for (let i = 1; i < end; i++) if (bytes[i] > 0x7f) return 'a status byte stands among its data';
  return undefined;
}
