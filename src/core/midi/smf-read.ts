import { fail, type Outcome, type Problem, succeed } from '../outcome.js';
import { Cursor, truncated, Warnings } from './smf-cursor.js';
import { readTrack } from './smf-read-track.js';
import { hasRiffWrapper, unwrapRiff } from './smf-riff.js';
import { type Division, type MidiFile, type Track, tracksOf, type UnknownChunk } from './smf-types.js';

const HEADER_ID = 0x4d546864; // 'MThd'
const TRACK_ID = 0x4d54726b; //  'MTrk'
const CHUNK_HEAD_BYTES = 8;
const HEADER_BYTES = 6;
const TRACK_COUNT_OFFSET = 10;
const MOST_TRACKS = 0xffff;

/**
 * Reads a Standard MIDI File, formats 0 to 2, losslessly: every event with its tick and bytes, known or not, header
 * bytes beyond the sixth, and chunks of other kinds. A RIFF wrapper (RMID) is removed and recorded.
 *
 * Files with slight errors that other programs commonly write are read, and `warnings` lists these. Anything else that
 * breaks the standard is a problem with code `SMF_…` and the byte offset. Time and memory grow with the bytes that are
 * there, never with what a length field claims. Never throws. The events of a track always end with end-of-track, added
 * where the file has none.
 *
 * @see Standard MIDI Files 1.0 (RP-001); RIFF form: RMID of the Multimedia Programming Interface and Data Specifications 1.0
 * @example parseMidiFile(new Uint8Array(0))  // { ok: false, problem: { code: 'SMF_NOT_MIDI', …, offset: 0 } }
 */
export function parseMidiFile(bytes: Uint8Array): Outcome<{ file: MidiFile; warnings: Problem[] }> {
  const warnings = new Warnings();
  const wrapper = hasRiffWrapper(bytes) ? 'riff' : 'none';
  const inside = wrapper === 'riff' ? unwrapRiff(bytes, warnings) : succeed({ start: 0, end: bytes.length });
  if (!inside.ok) return inside;
  const { start, end } = inside.value;
  // One copy of the whole, and every event's data a view into it: twice as fast as a copy an event, and the file still
  // shares nothing with the input.
  const cursor = new Cursor(new Uint8Array(bytes), start, end, 'the file');
  const header = readHeader(cursor);
  if (!header.ok) return header;
  const { format, declaredTracks, division, headerExtra } = header.value;
  const chunks = readChunks(cursor, declaredTracks, warnings);
  if (!chunks.ok) return chunks;
  const file: MidiFile = { format, division, headerExtra, chunks: chunks.value, wrapper };
  const found = tracksOf(file).length;
  if (found === 0 && declaredTracks > 0) return fail(noTracks(end, declaredTracks));
  if (found !== declaredTracks) {
    warnings.add((offset) => trackCount(offset, declaredTracks, found), start + TRACK_COUNT_OFFSET);
  }
  return succeed({ file, warnings: warnings.toProblems() });
}

interface Header {
  format: 0 | 1 | 2;
  declaredTracks: number;
  division: Division;
  headerExtra: Uint8Array;
}

function readHeader(cursor: Cursor): Outcome<Header> {
  const start = cursor.offset;
  if (cursor.left < 4 || cursor.uint32() !== HEADER_ID) {
    return fail({
      code: 'SMF_NOT_MIDI',
      message: `Expected a Standard MIDI File, which begins with MThd, but found something else at byte ${start}.`,
      advice:
        'Check that this is a MIDI file (.mid), not an audio file, a score or a project of some program.',
      offset: start,
    });
  }
  if (cursor.left < 4) return fail(truncated(start, CHUNK_HEAD_BYTES, cursor.end - start, 'a header'));
  const length = cursor.uint32();
  if (length < HEADER_BYTES) {
    return fail({
      code: 'SMF_HEADER_LENGTH',
      message: `Expected a header of at least 6 bytes at byte ${start + 4}, but found a length of ${length}.`,
      advice: 'The file is damaged at its very start. Copy or export it again.',
      offset: start + 4,
    });
  }
  if (length > cursor.left) return fail(truncated(cursor.offset, length, cursor.left, 'the header'));
  const format = cursor.uint16();
  const declaredTracks = cursor.uint16();
  const divisionWord = cursor.uint16();
  if (format !== 0 && format !== 1 && format !== 2) {
    return fail({
      code: 'SMF_FORMAT',
      message: `Expected format 0, 1 or 2 at byte ${start + 8}, but found ${format}.`,
      advice: 'No other format is defined. Export the file again as a Standard MIDI File, format 1.',
      offset: start + 8,
    });
  }
  const division = parseDivision(divisionWord, start + 12);
  if (!division.ok) return division;
  const headerExtra = cursor.bytes.subarray(cursor.offset, cursor.offset + length - HEADER_BYTES);
  cursor.offset += headerExtra.length;
  return succeed({ format, declaredTracks, division: division.value, headerExtra });
}

function parseDivision(word: number, offset: number): Outcome<Division> {
  if (word > 0 && word < 0x8000) return succeed({ kind: 'ppq', ticksPerQuarter: word });
  // The high byte is the negative of the frame rate, in two's complement.
  const framesPerSecond = 0x100 - (word >> 8);
  const ticksPerFrame = word & 0xff;
  const known =
    framesPerSecond === 24 || framesPerSecond === 25 || framesPerSecond === 29 || framesPerSecond === 30;
  if (known && ticksPerFrame > 0) return succeed({ kind: 'smpte', framesPerSecond, ticksPerFrame });
  const found = word === 0 ? '0' : `${framesPerSecond} frames a second, ${ticksPerFrame} ticks a frame`;
  return fail({
    code: 'SMF_DIVISION',
    message: `Expected ticks a quarter note, 1 to 32767, or 24, 25, 29 or 30 frames a second at byte ${offset}, but found ${found}.`,
    advice: 'Without it no tick has a length. Export the file again from the program that made it.',
    offset,
  });
}

function readChunks(
  cursor: Cursor,
  declaredTracks: number,
  warnings: Warnings,
): Outcome<(Track | UnknownChunk)[]> {
  const chunks: (Track | UnknownChunk)[] = [];
  let tracks = 0;
  while (cursor.left > 0) {
    const start = cursor.offset;
    const allTracksRead = tracks >= declaredTracks;
    if (cursor.left < CHUNK_HEAD_BYTES) {
      if (!allTracksRead) return fail(truncated(start, CHUNK_HEAD_BYTES, cursor.left, 'a chunk'));
      warnings.add(trailingBytes, start, cursor.left);
      break;
    }
    const id = cursor.uint32();
    const length = cursor.uint32();
    if (length > cursor.left) {
      // After the last track, bytes that don't look like a chunk are junk; else a chunk was cut.
      if (!allTracksRead || isText(cursor.bytes, start)) {
        return fail(truncated(cursor.offset, length, cursor.left, 'a chunk'));
      }
      warnings.add(trailingBytes, start, cursor.end - start);
      break;
    }
    const end = cursor.offset + length;
    if (id === TRACK_ID) {
      if (tracks === MOST_TRACKS) return fail(tooManyTracks(start));
      const stretch = new Cursor(cursor.bytes, cursor.offset, end, 'the track chunk');
      const events = readTrack(stretch, warnings);
      if (stretch.problem || !events) return fail(stretch.problem!);
      chunks.push({ kind: 'track', events });
      tracks++;
    } else {
      const { bytes, offset } = cursor;
      chunks.push({
        kind: 'unknown',
        id: bytes.subarray(start, start + 4),
        data: bytes.subarray(offset, end),
      });
    }
    cursor.offset = end;
  }
  return succeed(chunks);
}

/** Whether the four bytes are printable ASCII, as every chunk type is. */
function isText(bytes: Uint8Array, offset: number): boolean {
  return bytes.subarray(offset, offset + 4).every((byte) => byte >= 0x20 && byte < 0x7f);
}

function noTracks(offset: number, declared: number): Problem {
  return {
    code: 'SMF_NO_TRACKS',
    message: `Expected ${declared} tracks, as the header says, but the file ends at byte ${offset} without one.`,
    advice: 'The file was cut short. Copy or export it again.',
    offset,
  };
}

function tooManyTracks(offset: number): Problem {
  return {
    code: 'SMF_TOO_MANY_TRACKS',
    message: `Expected at most ${MOST_TRACKS} tracks, which is all a header can count, but another begins at byte ${offset}.`,
    advice: 'The file is damaged, or was never meant as music. Export it again.',
    offset,
  };
}

function trackCount(offset: number, declared: number, found: number): Problem {
  return {
    code: 'SMF_TRACK_COUNT',
    message: `Expected ${declared} tracks, as the header says at byte ${offset}, but found ${found}; all that are there were read.`,
    advice: 'Check that no part is missing: the file may have been cut short between two tracks.',
    offset,
  };
}

function trailingBytes(offset: number, count: number): Problem {
  return {
    code: 'SMF_TRAILING_BYTES',
    message: `Expected the file to end after its last chunk, but ${count} bytes that are no chunk follow at byte ${offset}; they were left out.`,
    advice: 'Nothing to do: the bytes hold no music.',
    offset,
  };
}
