import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatMidiFile, type MidiFile, parseMidiFile } from '../../../src/core/midi/index.js';
import { legalFile } from '../../support/midi-arbitraries.js';
import { forAll } from '../../support/properties.js';

/** Either a file that survives being written and read, or a problem with a place in the input. Never an exception. */
function expectSense(bytes: Uint8Array): void {
  const outcome = parseMidiFile(bytes);
  if (outcome.ok) {
    expect(outcome.value.file.chunks.every(endsOnce)).toBe(true);
    expect(parseMidiFile(formatMidiFile(outcome.value.file))).toEqual({
      ok: true,
      value: { file: outcome.value.file, warnings: [] },
    });
    for (const { offset } of outcome.value.warnings) expectInside(offset, bytes);
  } else {
    expect(outcome.problem.code).toMatch(/^SMF_[A-Z_0-9]+$/);
    expectInside(outcome.problem.offset, bytes);
  }
}

function expectInside(offset: number | undefined, bytes: Uint8Array): void {
  expect(offset).toBeGreaterThanOrEqual(0);
  expect(offset).toBeLessThanOrEqual(bytes.length);
}

function endsOnce(chunk: MidiFile['chunks'][number]): boolean {
  if (chunk.kind === 'unknown') return true;
  const ends = chunk.events.map((event) => event.kind === 'meta' && event.type === 0x2f);
  return ends.indexOf(true) === ends.length - 1;
}

test('any legal MIDI file comes back whole, without a warning', () => {
  forAll([legalFile], 300, (file) => {
    expect(parseMidiFile(formatMidiFile(file))).toEqual({ ok: true, value: { file, warnings: [] } });
  });
});

test('any bytes are read or refused with a place', () => {
  fc.assert(fc.property(fc.uint8Array({ maxLength: 400 }), expectSense));
});

test('any bytes as the one track of a file are read or refused with a place', () => {
  const head = [0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, 0, 96, 0x4d, 0x54, 0x72, 0x6b];
  // Bytes that keep a track going for a while; noise alone is refused at its first event.
  const likely = fc.constantFrom(
    0x00,
    0x10,
    0x3c,
    0x40,
    0x81,
    0x90,
    0xb0,
    0xc0,
    0xf0,
    0xf7,
    0xff,
    0x2f,
    0x01,
    0x80,
  );
  const bytes = fc.array(fc.oneof({ weight: 9, arbitrary: likely }, fc.integer({ min: 0, max: 255 })), {
    maxLength: 80,
  });
  forAll([bytes], 2000, (track) => {
    expectSense(Uint8Array.from([...head, 0, 0, 0, track.length, ...track]));
  });
});

test('any legal file with some bytes changed is read or refused with a place', () => {
  const changes = fc.array(fc.tuple(fc.nat(), fc.integer({ min: 0, max: 255 })), {
    minLength: 1,
    maxLength: 4,
  });
  forAll([legalFile, changes], 1000, (file, places) => {
    const bytes = formatMidiFile(file);
    for (const [place, value] of places) bytes[place % bytes.length] = value;
    expectSense(bytes);
  });
});

test('any legal file with bytes taken out or put in is read or refused with a place', () => {
  forAll(
    [legalFile, fc.nat(), fc.nat(3), fc.uint8Array({ maxLength: 3 })],
    1000,
    (file, place, gone, put) => {
      const bytes = formatMidiFile(file);
      const at = place % bytes.length;
      expectSense(Uint8Array.from([...bytes.slice(0, at), ...put, ...bytes.slice(at + gone)]));
    },
  );
});

test('any legal file cut anywhere is read or refused with a place', () => {
  forAll([legalFile], (file) => {
    const bytes = formatMidiFile({ ...file, chunks: file.chunks.slice(0, 2) });
    for (let length = 0; length < bytes.length; length += 1 + (length >> 5))
      expectSense(bytes.slice(0, length));
  });
});

test('a file of tracks alone, cut inside a track, is never taken for a whole one', () => {
  const tracksOnly = legalFile
    .map((file) => ({
      ...file,
      wrapper: 'none' as const,
      chunks: file.chunks.filter(({ kind }) => kind === 'track'),
    }))
    .filter(({ chunks }) => chunks.length > 0);
  forAll([tracksOnly, fc.nat()], (file, less) => {
    const bytes = formatMidiFile(file);
    const last =
      formatMidiFile({ ...file, chunks: file.chunks.slice(-1) }).length - 14 - file.headerExtra.length;
    const cut = 1 + (less % (last - 1));
    expect(parseMidiFile(bytes.slice(0, bytes.length - cut))).toMatchObject({
      ok: false,
      problem: { code: 'SMF_TRUNCATED' },
    });
  });
});
