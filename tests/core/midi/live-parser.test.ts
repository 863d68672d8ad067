import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { dataLength, LiveParser } from '../../../src/core/midi/index.js';
import { hex, ListSink } from '../../support/midi-bytes.js';
import { forAll } from '../../support/properties.js';

function read(text: string, sysexLimitBytes?: number) {
  const sink = new ListSink();
  const parser = new LiveParser(sysexLimitBytes);
  parser.feed(hex(text), sink);
  return { messages: sink.messages.map(toText), counters: parser.counters };
}

function toText(message: number[]): string {
  return message.map((byte) => byte.toString(16).toUpperCase().padStart(2, '0')).join(' ');
}

const CLEAN = {
  strayBytes: 0,
  undefinedStatuses: 0,
  incompleteMessages: 0,
  interruptedSysex: 0,
  overlongSysex: 0,
};

const ROWS: [string, string, string[], Partial<typeof CLEAN>][] = [
  [
    'each kind of channel message',
    '80 3C 40 91 3C 40 A2 3C 10 B3 40 7F C4 05 D5 20 E6 00 40',
    ['80 3C 40', '91 3C 40', 'A2 3C 10', 'B3 40 7F', 'C4 05', 'D5 20', 'E6 00 40'],
    {},
  ],
  ['running status of two data bytes', '90 3C 40 3E 41 40 42', ['90 3C 40', '90 3E 41', '90 40 42'], {}],
  ['running status of one data byte', 'C0 01 02 03', ['C0 01', 'C0 02', 'C0 03'], {}],
  ['velocity 0 as it came', '90 3C 40 3C 00', ['90 3C 40', '90 3C 00'], {}],
  [
    'real time between and inside messages',
    'F8 90 FA 3C FE 40 3E FF 00',
    ['F8', 'FA', 'FE', '90 3C 40', 'FF', '90 3E 00'],
    {},
  ],
  ['real time after a status byte alone', '90 F8 3C 40', ['F8', '90 3C 40'], {}],
  ['undefined real time F9 and FD', '90 F9 3C FD 40', ['F9', 'FD', '90 3C 40'], {}],
  ['real time inside SysEx', 'F0 7E F8 09 FE F7', ['F8', 'FE', 'F0 7E 09 F7'], {}],
  ['empty SysEx', 'F0 F7', ['F0 F7'], {}],
  ['SysEx cancels running status', '90 3C 40 F0 01 F7 3C 00', ['90 3C 40', 'F0 01 F7'], { strayBytes: 2 }],
  ['system common of each length', 'F1 35 F2 10 20 F3 07 F6', ['F1 35', 'F2 10 20', 'F3 07', 'F6'], {}],
  ['real time inside system common', 'F2 10 F8 20', ['F8', 'F2 10 20'], {}],
  ['F1 cancels running status', '90 3C 40 F1 35 3C 00', ['90 3C 40', 'F1 35'], { strayBytes: 2 }],
  ['F2 has no running status of its own', 'F2 10 20 30', ['F2 10 20'], { strayBytes: 1 }],
  ['F6 cancels running status', '90 3C 40 F6 3C 00', ['90 3C 40', 'F6'], { strayBytes: 2 }],
  ['stray data at the start', '3C 40 90 3C 40', ['90 3C 40'], { strayBytes: 2 }],
  [
    'F4 and F5 with what follows them',
    '90 3C 40 F4 01 02 F5 90 3C 00',
    ['90 3C 40', '90 3C 00'],
    { undefinedStatuses: 2, strayBytes: 2 },
  ],
  ['F7 of no SysEx cancels running status', '90 3C 40 F7 3C', ['90 3C 40'], { strayBytes: 2 }],
  ['a message cut short by another', '90 3C 80 3C 40', ['80 3C 40'], { incompleteMessages: 1 }],
  ['a message cut short by F7', '90 3C F7', [], { incompleteMessages: 1, strayBytes: 1 }],
  ['a song position cut short', 'F2 10 90 3C 40', ['90 3C 40'], { incompleteMessages: 1 }],
  ['SysEx cut short by a note', 'F0 7E 00 90 3C 40', ['90 3C 40'], { interruptedSysex: 1 }],
  ['SysEx cut short by SysEx', 'F0 7E F0 7D F7', ['F0 7D F7'], { interruptedSysex: 1 }],
  [
    'SysEx cut short by F5',
    'F0 7E F5 01 F7',
    [],
    { interruptedSysex: 1, undefinedStatuses: 1, strayBytes: 2 },
  ],
];

test.each(ROWS)('a live parser reads %s: %s', (_name, bytes, messages, counted) => {
  expect(read(bytes)).toEqual({ messages, counters: { ...CLEAN, ...counted } });
});

test.each(ROWS)('a live parser reads cut at every byte, %s: %s', (_name, bytes, messages, counted) => {
  const sink = new ListSink();
  const parser = new LiveParser();
  for (const byte of hex(bytes)) parser.feed([byte], sink);
  expect(sink.messages.map(toText)).toEqual(messages);
  expect(parser.counters).toEqual({ ...CLEAN, ...counted });
});

describe('SysEx in a live parser', () => {
  test('passes up to its limit, and is dropped whole beyond', () => {
    expect(read('F0 01 02 F7 90 3C 40', 4)).toEqual({
      messages: ['F0 01 02 F7', '90 3C 40'],
      counters: CLEAN,
    });
    expect(read('F0 01 02 03 F7 90 3C 40', 4)).toEqual({
      messages: ['90 3C 40'],
      counters: { ...CLEAN, overlongSysex: 1 },
    });
    expect(read('F0 01 02 03 04 05 06 07 F7 F0 01 F7', 4)).toEqual({
      messages: ['F0 01 F7'],
      counters: { ...CLEAN, overlongSysex: 1 },
    });
  });

  test('passes whole with 300 000 bytes', () => {
    const sink = new ListSink();
    const long = Uint8Array.from({ length: 300_000 }, (_, i) => i % 0x7f);
    long[0] = 0xf0;
    long[long.length - 1] = 0xf7;
    new LiveParser().feed(long, sink);
    expect(sink.messages.length).toBe(1);
    expect(Buffer.compare(Uint8Array.from(sink.messages[0]), long)).toBe(0);
  });

  test('has bytes that the sink may store, since the next message does not overwrite them', () => {
    const kept: Uint8Array[] = [];
    const sink = { channel: () => undefined, system: (bytes: Uint8Array) => void kept.push(bytes) };
    new LiveParser().feed(hex('F0 01 02 F7 F0 03 04 F7'), sink);
    expect(kept).toEqual([hex('F0 01 02 F7'), hex('F0 03 04 F7')]);
  });
});

test('a reset of a live parser drops a half-read message and running status, and counts the loss', () => {
  const sink = new ListSink();
  const parser = new LiveParser();
  parser.feed(hex('90 3C 40 3E'), sink);
  parser.reset();
  parser.feed(hex('41 42 F0 01'), sink);
  parser.reset();
  parser.feed(hex('02 F7'), sink);
  expect(sink.messages.map(toText)).toEqual(['90 3C 40']);
  expect(parser.counters).toEqual({ ...CLEAN, strayBytes: 4, incompleteMessages: 1, interruptedSysex: 1 });
});

const anyByte = fc.oneof(fc.integer({ min: 0, max: 255 }), fc.constantFrom(0x90, 0xf0, 0xf7, 0xf8, 0x40));

test('property: any cutting of any stream gives the same messages and counts', () => {
  forAll([fc.array(fc.array(anyByte, { maxLength: 8 }), { maxLength: 30 })], (pieces) => {
    const whole = new ListSink();
    const inPieces = new ListSink();
    const one = new LiveParser(12);
    const many = new LiveParser(12);
    one.feed(pieces.flat(), whole);
    for (const piece of pieces) many.feed(piece, inPieces);
    expect(inPieces.messages).toEqual(whole.messages);
    expect(many.counters).toEqual(one.counters);
  });
});

test('property: real-time bytes anywhere pass in order and change nothing else', () => {
  const piece = fc.tuple(fc.array(anyByte, { maxLength: 4 }), fc.integer({ min: 0xf8, max: 0xff }));
  const isRealTime = (message: number[]) => message[0] >= 0xf8;
  forAll([fc.array(piece, { maxLength: 30 })], (pieces) => {
    const without = pieces.flatMap(([bytes]) => bytes.filter((byte) => byte < 0xf8));
    const withClock = pieces.flatMap(([bytes, clock]) => [...bytes.filter((byte) => byte < 0xf8), clock]);
    const plain = new ListSink();
    const clocked = new ListSink();
    new LiveParser().feed(without, plain);
    new LiveParser().feed(withClock, clocked);
    expect(clocked.messages.filter((message) => !isRealTime(message))).toEqual(plain.messages);
    expect(clocked.messages.filter(isRealTime)).toEqual(pieces.map(([, clock]) => [clock]));
  });
});

test('property: whatever comes, every message that passes is whole', () => {
  forAll([fc.array(anyByte, { maxLength: 200 })], (bytes) => {
    const sink = new ListSink();
    new LiveParser(12).feed(bytes, sink);
    for (const [status, ...data] of sink.messages) {
      if (status === 0xf0) expect(data.pop()).toBe(0xf7);
      else expect(data.length).toBe(dataLength(status));
      expect(data.every((byte) => byte < 0x80)).toBe(true);
    }
  });
});

test('property: clean messages one after the other come out as they went in', () => {
  const data = fc.integer({ min: 0, max: 127 });
  const short = fc
    .tuple(fc.integer({ min: 0x80, max: 0xff }), data, data)
    .filter(([status]) => ![0xf0, 0xf4, 0xf5, 0xf7].includes(status))
    .map(([status, ...bytes]) => [status, ...bytes.slice(0, dataLength(status))]);
  const sysex = fc.array(data, { maxLength: 40 }).map((bytes) => [0xf0, ...bytes, 0xf7]);
  forAll([fc.array(fc.oneof(short, sysex), { maxLength: 40 })], (messages) => {
    const sink = new ListSink();
    const parser = new LiveParser();
    parser.feed(messages.flat(), sink);
    expect(sink.messages).toEqual(messages);
    expect(parser.counters).toEqual(CLEAN);
  });
});
