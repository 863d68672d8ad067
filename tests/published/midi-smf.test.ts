import { describe, expect, test } from 'vitest';
import { formatMidiFile, parseMidiFile, toTempoMap, tracksOf } from '../../src/core/midi/index.js';
import { chunk, fileOf, header, hex, join, messages, oneTrack } from '../support/midi-bytes.js';

function parseWell(bytes: Uint8Array) {
  const outcome = parseMidiFile(bytes);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(outcome.value.warnings).toEqual([]);
  return outcome.value.file;
}

const channel = (tick: number, status: number, data1: number, data2: number) => ({
  kind: 'channel',
  tick,
  status,
  data1,
  data2,
});
const meta = (tick: number, type: number, text: string) => ({
  kind: 'meta',
  tick,
  type,
  data: text === '' ? new Uint8Array(0) : hex(text),
});

// Standard MIDI Files 1.0 (RP-001), Conventions: "some examples of numbers represented as variable-length quantities"
const VARIABLE_LENGTHS: [number, string][] = [
  [0x00, '00'],
  [0x40, '40'],
  [0x7f, '7F'],
  [0x80, '81 00'],
  [0x2000, 'C0 00'],
  [0x3fff, 'FF 7F'],
  [0x4000, '81 80 00'],
  [0x100000, 'C0 80 00'],
  [0x1fffff, 'FF FF 7F'],
  [0x200000, '81 80 80 00'],
  [0x8000000, 'C0 80 80 00'],
  [0xfffffff, 'FF FF FF 7F'],
];

test.each(VARIABLE_LENGTHS)('RP-001, Conventions: the variable-length quantity %i is %s', (value, text) => {
  const bytes = oneTrack(`${text} FF 2F 00`);
  const file = parseWell(bytes);
  expect(tracksOf(file)[0].events).toEqual([meta(value, 0x2f, '')]);
  expect(formatMidiFile(file)).toEqual(bytes);
});

// Standard MIDI Files 1.0 (RP-001), Program Fragments and Example MIDI Files
const FORMAT_0 = hex(`
  4D 54 68 64 00 00 00 06 00 00 00 01 00 60
  4D 54 72 6B 00 00 00 3B
  00 FF 58 04 04 02 18 08   00 FF 51 03 07 A1 20
  00 C0 05   00 C1 2E   00 C2 46
  00 92 30 60   00 3C 60   60 91 43 40   60 90 4C 20
  81 40 82 30 40   00 3C 40   00 81 43 40   00 80 4C 40
  00 FF 2F 00`);

const FORMAT_1 = hex(`
  4D 54 68 64 00 00 00 06 00 01 00 04 00 60
  4D 54 72 6B 00 00 00 14  00 FF 58 04 04 02 18 08 00 FF 51 03 07 A1 20 83 00 FF 2F 00
  4D 54 72 6B 00 00 00 10  00 C0 05 81 40 90 4C 20 81 40 4C 00 00 FF 2F 00
  4D 54 72 6B 00 00 00 0F  00 C1 2E 60 91 43 40 82 20 43 00 00 FF 2F 00
  4D 54 72 6B 00 00 00 15  00 C2 46 00 92 30 60 00 3C 60 83 00 30 00 00 3C 00 00 FF 2F 00`);

describe('RP-001, Example MIDI Files', () => {
  test('the example of format 0 is read', () => {
    const file = parseWell(FORMAT_0);
    expect(file).toEqual({
      format: 0,
      division: { kind: 'ppq', ticksPerQuarter: 96 },
      headerExtra: new Uint8Array(0),
      chunks: [
        {
          kind: 'track',
          events: [
            meta(0, 0x58, '04 02 18 08'),
            meta(0, 0x51, '07 A1 20'),
            channel(0, 0xc0, 5, 0),
            channel(0, 0xc1, 46, 0),
            channel(0, 0xc2, 70, 0),
            channel(0, 0x92, 48, 96),
            channel(0, 0x92, 60, 96),
            channel(96, 0x91, 67, 64),
            channel(192, 0x90, 76, 32),
            channel(384, 0x82, 48, 64),
            channel(384, 0x82, 60, 64),
            channel(384, 0x81, 67, 64),
            channel(384, 0x80, 76, 64),
            meta(384, 0x2f, ''),
          ],
        },
      ],
      wrapper: 'none',
    });
  });

  test('the example of format 1 has note-offs as note-ons of velocity 0, and tracks that end at 384', () => {
    const file = parseWell(FORMAT_1);
    expect(file.format).toBe(1);
    expect(tracksOf(file).map((track) => track.events)).toEqual([
      [meta(0, 0x58, '04 02 18 08'), meta(0, 0x51, '07 A1 20'), meta(384, 0x2f, '')],
      [channel(0, 0xc0, 5, 0), channel(192, 0x90, 76, 32), channel(384, 0x90, 76, 0), meta(384, 0x2f, '')],
      [channel(0, 0xc1, 46, 0), channel(96, 0x91, 67, 64), channel(384, 0x91, 67, 0), meta(384, 0x2f, '')],
      [
        channel(0, 0xc2, 70, 0),
        channel(0, 0x92, 48, 96),
        channel(0, 0x92, 60, 96),
        channel(384, 0x92, 48, 0),
        channel(384, 0x92, 60, 0),
        meta(384, 0x2f, ''),
      ],
    ]);
  });

  test.each([
    ['format 0', FORMAT_0],
    ['format 1', FORMAT_1],
  ])('%s comes back from writing', (_name, bytes) => {
    const file = parseWell(bytes);
    expect(parseWell(formatMidiFile(file))).toEqual(file);
  });
});

describe('RP-001, MTrk Event: SysEx', () => {
  test('a message on the wire is stored without its F0 but with its F7', () => {
    const bytes = oneTrack('00 F0 05 43 12 00 07 F7 00 FF 2F 00');
    const file = parseWell(bytes);
    expect(tracksOf(file)[0].events[0]).toEqual({
      kind: 'sysex',
      tick: 0,
      lead: 0xf0,
      data: hex('43 12 00 07 F7'),
    });
    expect(formatMidiFile(file)).toEqual(bytes);
  });

  test('a SysEx message in three packets is read', () => {
    const bytes = oneTrack(
      '00 F0 03 43 12 00 81 48 F7 06 43 12 00 43 12 00 64 F7 04 43 12 00 F7 00 FF 2F 00',
    );
    const file = parseWell(bytes);
    expect(tracksOf(file)[0].events.slice(0, 3)).toEqual([
      { kind: 'sysex', tick: 0, lead: 0xf0, data: hex('43 12 00') },
      { kind: 'sysex', tick: 200, lead: 0xf7, data: hex('43 12 00 43 12 00') },
      { kind: 'sysex', tick: 300, lead: 0xf7, data: hex('43 12 00 F7') },
    ]);
    expect(formatMidiFile(file)).toEqual(bytes);
  });

  test('an F7 event escapes any byte: a timing clock, a song position', () => {
    const file = parseWell(oneTrack('00 F7 01 F8 00 F7 03 F2 00 10 00 FF 2F 00'));
    expect(tracksOf(file)[0].events.slice(0, 2)).toEqual([
      { kind: 'sysex', tick: 0, lead: 0xf7, data: hex('F8') },
      { kind: 'sysex', tick: 0, lead: 0xf7, data: hex('F2 00 10') },
    ]);
  });

  test('GM System On (RP-003) is stored', () => {
    const file = parseWell(oneTrack('00 F0 05 7E 7F 09 01 F7 00 FF 2F 00'));
    expect(tracksOf(file)[0].events[0]).toMatchObject({ lead: 0xf0, data: hex('7E 7F 09 01 F7') });
  });
});

describe('RP-001, Track Chunks and Meta-Events', () => {
  test('running status crosses delta-times', () => {
    const file = parseWell(oneTrack('00 90 3C 40 10 3C 00 81 00 3E 40 00 FF 2F 00'));
    expect(tracksOf(file)[0].events.slice(0, 3)).toEqual([
      channel(0, 0x90, 60, 64),
      channel(16, 0x90, 60, 0),
      channel(144, 0x90, 62, 64),
    ]);
  });

  test('the first event of a track must carry its status', () => {
    expect(parseMidiFile(oneTrack('00 3C 40 00 FF 2F 00'))).toMatchObject({
      ok: false,
      problem: { code: 'SMF_RUNNING_STATUS', offset: 23 },
    });
  });

  test('running status does not reach into the next track', () => {
    const bytes = join(
      header(1, 2),
      chunk('MTrk', hex('00 90 3C 40 00 FF 2F 00')),
      chunk('MTrk', hex('00 3C 00 00 FF 2F 00')),
    );
    expect(parseMidiFile(bytes)).toMatchObject({ ok: false, problem: { code: 'SMF_RUNNING_STATUS' } });
  });

  test.each(['FF 01 01 41', 'F0 02 01 F7', 'F7 01 F8'])(
    'meta and SysEx events cancel running status: after %s it is used, with a warning',
    (between) => {
      const outcome = parseMidiFile(oneTrack(`00 90 3C 40 00 ${between} 00 3C 00 00 FF 2F 00`));
      if (!outcome.ok) throw new Error(outcome.problem.message);
      expect(outcome.value.warnings.map(({ code }) => code)).toEqual(['SMF_RUNNING_STATUS_KEPT']);
      expect(tracksOf(outcome.value.file)[0].events[2]).toEqual(channel(0, 0x90, 60, 0));
    },
  );

  test('unknown chunks and unknown meta events are skipped, and written back', () => {
    const bytes = join(
      header(1, 2),
      chunk('MTrk', hex('00 FF 60 02 AB CD 00 FF 2F 00')),
      chunk('XFIH', hex('01 02 03')),
      chunk('MTrk', hex('00 FF 2F 00')),
      chunk('junk'),
    );
    const file = parseWell(bytes);
    expect(file.chunks.map(({ kind }) => kind)).toEqual(['track', 'unknown', 'track', 'unknown']);
    expect(tracksOf(file)[0].events[0]).toEqual(meta(0, 0x60, 'AB CD'));
    expect(formatMidiFile(file)).toEqual(bytes);
  });

  test('6/8 may have three eighths a beat', () => {
    const file = parseWell(oneTrack('00 FF 58 04 06 03 24 08 00 FF 2F 00'));
    expect(tracksOf(file)[0].events[0]).toEqual(meta(0, 0x58, '06 03 24 08'));
  });
});

describe('RP-001, Header Chunks', () => {
  test('a header may be longer than six bytes', () => {
    const bytes = join(chunk('MThd', hex('00 00 00 01 00 60 DE AD')), chunk('MTrk', hex('00 FF 2F 00')));
    const file = parseWell(bytes);
    expect(file.headerExtra).toEqual(hex('DE AD'));
    expect(formatMidiFile(file)).toEqual(bytes);
  });

  // E2 50: 30 frames a second, 80 ticks a frame (bit resolution); E7 28: milliseconds, both as printed there
  test.each(messages('0xe250 30 80, 0xe728 25 40, 0xe804 24 4, 0xe350 29 80'))(
    'division %i is SMPTE, %i frames a second, %i ticks a frame',
    (word, framesPerSecond, ticksPerFrame) => {
      const bytes = join(header(1, 1, word), chunk('MTrk', hex('00 FF 2F 00')));
      const file = parseWell(bytes);
      expect(file.division).toEqual({ kind: 'smpte', framesPerSecond, ticksPerFrame });
      expect(formatMidiFile(file)).toEqual(bytes);
    },
  );

  test('a tick is a millisecond at 25 frames of 40 ticks', () => {
    const file = parseWell(join(header(1, 1, 0xe728), chunk('MTrk', hex('00 FF 2F 00'))));
    expect(toTempoMap(file).toMs(12345)).toBe(12345);
  });
});

test('RP-001, Set Tempo: a file without it has a tempo of 120: 6144 ticks of 96 a quarter note last 32 seconds', () => {
  expect(toTempoMap(fileOf([])).toMs(6144)).toBe(32000);
});
