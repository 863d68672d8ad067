import type { SysexEvent } from './smf-types.js';
import { SYSEX } from './status.js';

/**
 * What a SysEx event sends: its F0 in front, which a file keeps apart; all of an F7 event as it is. Bytes pass
 * unchecked. Can't fail.
 *
 * @example toWireMessage({ kind: 'sysex', tick: 0, lead: 0xf0, data: Uint8Array.of(0x7e, 0x7f, 9, 1, 0xf7) })  // F0 7E 7F 09 01 F7
 * @see Standard MIDI Files 1.0, SysEx events
 */
export function toWireMessage({ lead, data }: SysexEvent): Uint8Array {
  if (lead !== SYSEX) return data;
  const bytes = new Uint8Array(data.length + 1);
  bytes[0] = SYSEX;
  bytes.set(data, 1);
  return bytes;
}
