import { describe, expect, test } from 'vitest';
import { formatMidiFile, parseMidiFile, tracksOf } from '../../../src/core/midi/index.js';
import { hex, oneTrack } from '../../support/midi-bytes.js';

/** Events of a one-track file begin here. */
const START = 22;

function read(text: string) {
  const outcome = parseMidiFile(oneTrack(text));
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const { file, warnings } = outcome.value;
  return { events: tracksOf(file)[0].events, codes: warnings.map(({ code }) => code), warnings, file };
}

const end = (tick: number) => ({ kind: 'meta', tick, type: 0x2f, data: new Uint8Array(0) });
const note = (tick: number, key: number) => ({ kind: 'channel', tick, status: 0x90, data1: key, data2: 64 });
const program = (data1: number) => ({ kind: 'channel', tick: 0, status: 0xc1, data1, data2: 0 });

describe('damage in a track is a problem with its place:', () => {
  test.each([
    ['no event after a delta-time', '00', 'SMF_TRUNCATED', 1],
    ['a delta-time cut short', '81', 'SMF_TRUNCATED', 1],
    ['a note cut short', '00 90 3C', 'SMF_TRUNCATED', 3],
    ['a note without data', '00 90', 'SMF_TRUNCATED', 2],
    ['a meta event without type', '00 FF', 'SMF_TRUNCATED', 2],
    ['a meta event without length', '00 FF 01', 'SMF_TRUNCATED', 3],
    ['a text longer than the track', '00 FF 01 05 41 42', 'SMF_TRUNCATED', 4],
    ['a text of 256 MiB', '00 FF 01 FF FF FF 7F 41', 'SMF_TRUNCATED', 7],
    ['a SysEx event longer than the track', '00 F0 05 43 F7', 'SMF_TRUNCATED', 3],
    ['an endless delta-time', '80 80 80 80 80 80 80 80 80', 'SMF_VARIABLE_LENGTH', 0],
    ['a delta-time of five bytes', '81 80 80 80 00 90 3C 40', 'SMF_VARIABLE_LENGTH', 0],
    ['a length of five bytes', '00 FF 01 80 80 80 80 01 41', 'SMF_VARIABLE_LENGTH', 3],
    ['a status byte as first data byte', '00 90 90 40', 'SMF_DATA_BYTE', 2],
    ['a status byte as second data byte', '00 90 3C F8', 'SMF_DATA_BYTE', 3],
    ['a status byte as second data byte by running status', '00 90 3C 40 00 3C 80', 'SMF_DATA_BYTE', 6],
    ['a status byte as type of a meta event', '00 FF 80 00', 'SMF_DATA_BYTE', 2],
    ['data without any status', '00 3C 40', 'SMF_RUNNING_STATUS', 1],
    ['data after a meta event alone', '00 FF 01 00 00 3C 40', 'SMF_RUNNING_STATUS', 5],
    ...['F1', 'F2', 'F3', 'F4', 'F5', 'F6', 'F8', 'F9', 'FA', 'FB', 'FC', 'FD', 'FE'].map(
      (status): [string, string, string, number] => [
        `${status} as an event`,
        `00 ${status} 00 00`,
        'SMF_STATUS',
        1,
      ],
    ),
    ['what is no event after end-of-track', '00 FF 2F 00 00 12 34', 'SMF_RUNNING_STATUS', 5],
  ])('%s: %s', (_name, text, code, offset) => {
    expect(parseMidiFile(oneTrack(text))).toMatchObject({
      ok: false,
      problem: { code, offset: START + offset },
    });
  });

  test('a number padded with leading 80 bytes is reported as such', () => {
    const outcome = parseMidiFile(oneTrack('80 80 80 80 05 FF 2F 00'));
    expect(outcome.ok ? '' : outcome.problem.message).toContain('padded with leading 80 bytes');
    const plain = parseMidiFile(oneTrack('81 80 80 80 05 FF 2F 00'));
    expect(plain.ok ? 'padded' : plain.problem.message).not.toContain('padded');
  });
});

test.each([
  [
    'numbers padded to four bytes',
    '80 80 80 05 90 3C 40 00 FF 01 80 80 00 00 FF 2F 00',
    [note(5, 60), { kind: 'meta', tick: 5, type: 1, data: new Uint8Array(0) }, end(5)],
  ],
  ['end-of-track with a wait', '00 90 3C 40 83 00 FF 2F 00', [note(0, 60), end(384)]],
  ['end-of-track with data', '00 FF 2F 01 AA', [{ ...end(0), data: hex('AA') }]],
  [
    'a tempo of four bytes',
    '00 FF 51 04 01 02 03 04 00 FF 2F 00',
    [{ kind: 'meta', tick: 0, type: 0x51, data: hex('01 02 03 04') }, end(0)],
  ],
  [
    'an empty tempo',
    '00 FF 51 00 00 FF 2F 00',
    [{ kind: 'meta', tick: 0, type: 0x51, data: new Uint8Array(0) }, end(0)],
  ],
  [
    'an unknown meta event',
    '00 FF 7E 01 80 00 FF 2F 00',
    [{ kind: 'meta', tick: 0, type: 0x7e, data: hex('80') }, end(0)],
  ],
  [
    'an empty SysEx event',
    '00 F0 00 00 FF 2F 00',
    [{ kind: 'sysex', tick: 0, lead: 0xf0, data: new Uint8Array(0) }, end(0)],
  ],
  ['running status of one data byte', '00 C1 05 00 06 00 FF 2F 00', [program(5), program(6), end(0)]],
])('a legal track event that readers stumble over is read: %s: %s', (_name, text, events) => {
  const found = read(text);
  expect(found.events).toEqual(events);
  expect(found.codes).toEqual([]);
  expect(parseMidiFile(formatMidiFile(found.file))).toEqual({
    ok: true,
    value: { file: found.file, warnings: [] },
  });
});

describe('the end-of-track is read last and once:', () => {
  test('a missing end-of-track is added at the last tick', () => {
    const { events, codes } = read('00 90 3C 40 10 90 3E 40');
    expect(events).toEqual([note(0, 60), note(16, 62), end(16)]);
    expect(codes).toEqual(['SMF_NO_END_OF_TRACK']);
  });

  test('an empty track gets an end-of-track', () => {
    expect(read('')).toMatchObject({ events: [end(0)], codes: ['SMF_NO_END_OF_TRACK'] });
  });

  test('events after the end-of-track keep their ticks, and it moves behind them', () => {
    const { events, warnings } = read('00 90 3C 40 10 FF 2F 00 10 90 3E 40 10 40 40');
    expect(events).toEqual([note(0, 60), note(32, 62), note(48, 64), end(48)]);
    expect(warnings).toMatchObject([{ code: 'SMF_AFTER_END_OF_TRACK', offset: START + 8 }]);
    expect(warnings[0].message).toContain('(And 1 more like it.)');
  });

  test('the second of two end-of-tracks counts', () => {
    const { events, codes } = read('00 FF 2F 00 10 90 3C 40 20 FF 2F 00');
    expect(events).toEqual([note(16, 60), end(48)]);
    expect(codes).toEqual(['SMF_AFTER_END_OF_TRACK']);
  });

  test('zero bytes after the end-of-track are padding', () => {
    const { events, codes } = read('00 90 3C 40 10 FF 2F 00 00 00 00');
    expect(events).toEqual([note(0, 60), end(16)]);
    expect(codes).toEqual(['SMF_TRACK_PADDING']);
  });

  test('zero bytes that end an event after the end-of-track are no padding', () => {
    const { events, codes } = read('00 FF 2F 00 10 91 00 00');
    expect(events).toEqual([{ kind: 'channel', tick: 16, status: 0x91, data1: 0, data2: 0 }, end(16)]);
    expect(codes).toEqual(['SMF_AFTER_END_OF_TRACK']);
  });
});
