/**
 * The text of a meta event for people: UTF-8 if it is that, else one letter a byte. What a terminal would take for a
 * command (control characters) is left out, and so is space at both ends.
 *
 * @example toText(Uint8Array.of(0x42, 0x61, 0xdf))  // 'Baß'
 */
export function toText(data: Uint8Array): string {
  return decode(data)
    .replace(/\p{C}+/gu, ' ')
    .trim();
}

function decode(data: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(data);
  } catch {
    return Array.from(data, (byte) => String.fromCharCode(byte)).join('');
  }
}
