import { fail, type Outcome, type Problem, succeed } from '../outcome.js';
import { truncated, type Warnings } from './smf-cursor.js';

/**
 * The RIFF form of type RMID: a Standard MIDI File as the `data` chunk of a RIFF file. Lengths are low byte first,
 * and a chunk of odd length is followed by one byte that is not counted.
 *
 * @see Multimedia Programming Interface and Data Specifications 1.0 (1991), RIFF; RMID form
 */

const RIFF_HEAD_BYTES = 12;
const CHUNK_HEAD_BYTES = 8;

/** Whether the bytes begin as an RMID file does. @example hasRiffWrapper(new Uint8Array(12))  // false */
export function hasRiffWrapper(bytes: Uint8Array): boolean {
  return bytes.length >= RIFF_HEAD_BYTES && hasText(bytes, 0, 'RIFF') && hasText(bytes, 8, 'RMID');
}

/**
 * Where the MIDI file inside an RMID file starts and ends.
 *
 * Fails with SMF_RIFF when there is no whole `data` chunk. Other chunks of the form (titles, sound banks) are left
 * out with a warning: they aren't part of the MIDI file.
 */
export function unwrapRiff(bytes: Uint8Array, warnings: Warnings): Outcome<{ start: number; end: number }> {
  let inside: { start: number; end: number } | undefined;
  let offset = RIFF_HEAD_BYTES;
  while (offset + CHUNK_HEAD_BYTES <= bytes.length) {
    const start = offset + CHUNK_HEAD_BYTES;
    const end = start + readLength(bytes, offset + 4);
    if (!inside && hasText(bytes, offset, 'data')) {
      if (end > bytes.length)
        return fail(truncated(start, end - start, bytes.length - start, 'a data chunk'));
      inside = { start, end };
    } else {
      warnings.add(otherChunk, offset);
    }
    offset = end + ((end - start) % 2);
  }
  if (!inside) return fail(noData(bytes.length));
  if (offset < bytes.length) warnings.add(otherChunk, offset);
  return succeed(inside);
}

/**
 * The RMID file around a MIDI file.
 *
 * @example
 * wrapRiff(new Uint8Array(26)).length  // 46: 20 more
 * wrapRiff(new Uint8Array(27)).length  // 48: 21 more, since 27 is odd
 */
export function wrapRiff(file: Uint8Array): Uint8Array {
  const padded = file.length + (file.length % 2);
  const bytes = new Uint8Array(RIFF_HEAD_BYTES + CHUNK_HEAD_BYTES + padded);
  writeText(bytes, 0, 'RIFF');
  writeLength(bytes, 4, bytes.length - CHUNK_HEAD_BYTES);
  writeText(bytes, 8, 'RMID');
  writeText(bytes, 12, 'data');
  writeLength(bytes, 16, file.length);
  bytes.set(file, RIFF_HEAD_BYTES + CHUNK_HEAD_BYTES);
  return bytes;
}

function hasText(bytes: Uint8Array, offset: number, text: string): boolean {
  for (let i = 0; i < text.length; i++) if (bytes[offset + i] !== text.charCodeAt(i)) return false;
  return true;
}

function writeText(bytes: Uint8Array, offset: number, text: string): void {
  for (let i = 0; i < text.length; i++) bytes[offset + i] = text.charCodeAt(i);
}

function readLength(bytes: Uint8Array, at: number): number {
  return bytes[at] + bytes[at + 1] * 0x100 + bytes[at + 2] * 0x10000 + bytes[at + 3] * 0x1000000;
}

function writeLength(bytes: Uint8Array, at: number, length: number): void {
  for (let i = 0; i < 4; i++) bytes[at + i] = (length >>> (8 * i)) & 0xff;
}

function otherChunk(offset: number): Problem {
  return {
    code: 'SMF_RIFF_CHUNK',
    message: `Expected the RIFF file to hold a MIDI file alone, but there is something else at byte ${offset}; it was left out.`,
    advice: 'The music is all there. A title or a sound bank beside it will be missing when it is written.',
    offset,
  };
}

function noData(offset: number): Problem {
  return {
    code: 'SMF_RIFF',
    message: `Expected a data chunk with the MIDI file in this RIFF file, but it ends at byte ${offset} without one.`,
    advice: 'The file was cut short or is damaged. Copy it again, or export a plain .mid file.',
    offset,
  };
}
