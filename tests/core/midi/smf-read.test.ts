import { expect, test } from 'vitest';
import { formatMidiFile, parseMidiFile, tracksOf } from '../../../src/core/midi/index.js';
import { ascii, chunk, header, hex, join, oneTrack } from '../../support/midi-bytes.js';

const END = '00 FF 2F 00';
const TRACK = chunk('MTrk', hex(END));

test.each<[string, Uint8Array, string, number]>([
  ['nothing at all', hex('').slice(0, 0), 'SMF_NOT_MIDI', 0],
  ['three bytes', ascii('MTh'), 'SMF_NOT_MIDI', 0],
  ['zeros', new Uint8Array(1000), 'SMF_NOT_MIDI', 0],
  ['another format', ascii('RIFF\x04\0\0\0WAVE'), 'SMF_NOT_MIDI', 0],
  ['a header without its length', ascii('MThd\0\0'), 'SMF_TRUNCATED', 0],
  ['a header cut short', header(0, 1).slice(0, 12), 'SMF_TRUNCATED', 8],
  ['a header of five bytes', chunk('MThd', hex('00 00 00 01 00')), 'SMF_HEADER_LENGTH', 4],
  ['a header of 4 GiB', join(ascii('MThd'), hex('FF FF FF FF 00 00 00 01 00 60')), 'SMF_TRUNCATED', 8],
  ['format 3', join(header(3, 1), TRACK), 'SMF_FORMAT', 8],
  ['format 256', join(chunk('MThd', hex('01 00 00 01 00 60')), TRACK), 'SMF_FORMAT', 8],
  ['no ticks in a quarter note', join(header(0, 1, 0), TRACK), 'SMF_DIVISION', 12],
  ['26 frames a second', join(header(0, 1, 0xe650), TRACK), 'SMF_DIVISION', 12],
  ['no ticks in a frame', join(header(0, 1, 0xe700), TRACK), 'SMF_DIVISION', 12],
  ['a header alone', header(1, 2), 'SMF_NO_TRACKS', 14],
  ['a chunk name cut short', join(header(1, 2), TRACK, ascii('MTr')), 'SMF_TRUNCATED', 26],
  ['a track of 4 GiB', join(header(0, 1), ascii('MTrk'), hex('FF FF FF FF 00')), 'SMF_TRUNCATED', 22],
  [
    '65 536 tracks',
    join(
      header(1, 0xffff),
      new Uint8Array(8 * 65_536).map((_, i) => ascii('MTrk\0\0\0\0')[i % 8]),
    ),
    'SMF_TOO_MANY_TRACKS',
    14 + 8 * 65_535,
  ],
  ['a track that runs past the end', join(header(0, 1), TRACK).slice(0, -1), 'SMF_TRUNCATED', 22],
  [
    'an unknown chunk that runs past the end',
    join(header(0, 1), TRACK, chunk('XFIH', [1, 2])).slice(0, -1),
    'SMF_TRUNCATED',
    34,
  ],
])('what is no MIDI file is refused with its place: %s', (_name, bytes, code, offset) => {
  expect(parseMidiFile(bytes)).toMatchObject({ ok: false, problem: { code, offset } });
});

test.each<[string, Uint8Array, string, number, number]>([
  ['fewer tracks than the header says', join(header(1, 3), TRACK, TRACK), 'SMF_TRACK_COUNT', 10, 2],
  ['more tracks than the header says', join(header(1, 1), TRACK, TRACK), 'SMF_TRACK_COUNT', 10, 2],
  [
    'bytes too few for a chunk at the end',
    join(header(0, 1), TRACK, hex('0D 0A 1A')),
    'SMF_TRAILING_BYTES',
    26,
    1,
  ],
  [
    'a block filled up with 1A',
    join(header(0, 1), TRACK, new Uint8Array(102).fill(0x1a)),
    'SMF_TRAILING_BYTES',
    26,
    1,
  ],
])('a slightly wrong file is read with a warning: %s', (_name, bytes, code, offset, tracks) => {
  const outcome = parseMidiFile(bytes);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(outcome.value.warnings).toMatchObject([{ code, offset }]);
  expect(tracksOf(outcome.value.file).length).toBe(tracks);
});

test('every warning and problem has a sentence and a next step', () => {
  const outcome = parseMidiFile(join(header(1, 3), TRACK, chunk('MTrk')));
  const refused = parseMidiFile(hex('00'));
  if (!outcome.ok || refused.ok) throw new Error('expected one of each');
  for (const { message, advice } of [...outcome.value.warnings, refused.problem]) {
    expect(message).toMatch(/^Expected .* at byte \d+.*\.$/);
    expect(advice).toMatch(/\.$/);
  }
});

test('a file of 300 tracks is read', () => {
  const file = join(
    header(1, 300),
    ...Array.from({ length: 300 }, (_, i) => chunk('MTrk', [0, 0xc0, i % 128], hex(END))),
  );
  const outcome = parseMidiFile(file);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(outcome.value.warnings).toEqual([]);
  expect(tracksOf(outcome.value.file).map(({ events }) => events[0])).toEqual(
    Array.from({ length: 300 }, (_, i) => ({
      kind: 'channel',
      tick: 0,
      status: 0xc0,
      data1: i % 128,
      data2: 0,
    })),
  );
  expect(formatMidiFile(outcome.value.file)).toEqual(file);
});

test('a text of 200 kB that is no UTF-8 is read', () => {
  const text = Uint8Array.from({ length: 200_000 }, (_, i) => (i * 31) & 0xff);
  const file = join(header(0, 1), chunk('MTrk', hex('00 FF 01 8C 9A 40'), text, hex(END)));
  const outcome = parseMidiFile(file);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const event = tracksOf(outcome.value.file)[0].events[0];
  expect(event.kind === 'meta' && Buffer.compare(event.data, text)).toBe(0);
  expect(Buffer.compare(formatMidiFile(outcome.value.file), file)).toBe(0);
});

test.each([
  ['plain bytes', (bytes: Uint8Array) => bytes],
  ['a Buffer', (bytes: Uint8Array) => Buffer.from(bytes)],
  ['a part of longer bytes', (bytes: Uint8Array) => join([9, 9], bytes, [9]).subarray(2, -1)],
])('the file does not share its bytes with the input: %s', (_name, wrap) => {
  const bytes = wrap(oneTrack(`00 FF 01 02 41 42 ${END}`));
  const outcome = parseMidiFile(bytes);
  bytes.fill(0);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(tracksOf(outcome.value.file)[0].events[0]).toEqual({
    kind: 'meta',
    tick: 0,
    type: 1,
    data: ascii('AB'),
  });
});
