import { META, type Track } from '../core/midi/index.js';

/** The name of a track, for people; empty if it has none. */
export function toTrackName({ events }: Track): string {
  const name = events.find((event) => event.kind === 'meta' && event.type === META.trackName);
  return name?.kind === 'meta' ? toText(name.data) : '';
}

/**
 * The text of a meta event for people: UTF-8 if it is valid, else one letter a byte. Control characters, which a
 * terminal would obey, are left out, and so is space at both ends.
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
