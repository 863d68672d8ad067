import { describe, expect, test } from 'vitest';
import { CC, LiveParser, RPN, toFourteenBit, toLsb, toMsb } from '../../src/core/midi/index.js';
import { hex, ListSink } from '../support/midi-bytes.js';

function read(text: string): number[][] {
  const sink = new ListSink();
  new LiveParser().feed(hex(text), sink);
  return sink.messages;
}

test.each([
  ['00 00', 0],
  ['00 40', 8192],
  ['7F 7F', 16383],
])(
  'MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change: LSB first, 00 40 is centre, %s is %i',
  (text, value) => {
    const [lsb, msb] = hex(text);
    expect(toFourteenBit(lsb, msb)).toBe(value);
    expect([toLsb(value), toMsb(value)]).toEqual([lsb, msb]);
  },
);

// Computed from the definition above: round(cents / 100 * 8192 / range) + 8192, at most 16383.
test.each([
  [7631, '4F 3B'],
  [8272, '50 40'],
  [8833, '01 45'],
  [6915, '03 36'],
  [6198, '36 30'],
  [10240, '00 50'],
  [8533, '55 42'],
  [8363, '2B 41'],
  [8021, '55 3E'],
])('the bend of a just interval as two data bytes: %i is %s', (value, text) =>
  expect(Uint8Array.of(toLsb(value), toMsb(value))).toEqual(hex(text)),
);

describe('MIDI 1.0 Detailed Specification 4.2.1, Table IIIa: registered parameters', () => {
  test('bend range of 2 semitones, by running status', () => {
    expect(read('B3 65 00 64 00 06 02 26 00')).toEqual([
      [0xb3, CC.rpnMsb, toMsb(RPN.bendRange)],
      [0xb3, CC.rpnLsb, toLsb(RPN.bendRange)],
      [0xb3, CC.dataEntry, 2],
      [0xb3, CC.dataEntryLsb, 0],
    ]);
  });

  test('fine tuning, no change', () => {
    expect(read('B0 65 00 64 01 06 40 26 00')).toEqual([
      [0xb0, CC.rpnMsb, toMsb(RPN.fineTuning)],
      [0xb0, CC.rpnLsb, toLsb(RPN.fineTuning)],
      [0xb0, CC.dataEntry, 0x40],
      [0xb0, CC.dataEntryLsb, 0],
    ]);
  });

  test('the null parameter', () => {
    expect(read('BF 65 7F 64 7F')).toEqual([
      [0xbf, CC.rpnMsb, toMsb(RPN.none)],
      [0xbf, CC.rpnLsb, toLsb(RPN.none)],
    ]);
  });

  test('MPE 1.1, MPE Configuration Message: 15 member channels in the lower zone', () => {
    expect(read('B0 65 00 64 06 06 0F')).toEqual([
      [0xb0, CC.rpnMsb, toMsb(RPN.mpeConfiguration)],
      [0xb0, CC.rpnLsb, toLsb(RPN.mpeConfiguration)],
      [0xb0, CC.dataEntry, 15],
    ]);
  });
});

test.each([
  ['General MIDI System Level 1 (RP-003), GM System On', 'F0 7E 7F 09 01 F7'],
  ['General MIDI System Level 1 (RP-003), GM System Off', 'F0 7E 7F 09 02 F7'],
  ['CA-025, Master Fine Tuning', 'F0 7F 7F 04 03 00 40 F7'],
  ['CA-025, Master Coarse Tuning', 'F0 7F 7F 04 04 00 40 F7'],
])('whole system exclusive messages pass as printed: %s', (_name, text) =>
  expect(read(text)).toEqual([Array.from(hex(text))]),
);

test('MPE 1.1 section 2.4.1: bend, timbre and pressure before the note', () => {
  expect(read('E2 2B 41 B2 4A 40 D2 00 92 3C 38')).toEqual([
    [0xe2, 0x2b, 0x41],
    [0xb2, CC.timbre, 0x40],
    [0xd2, 0x00],
    [0x92, 0x3c, 0x38],
  ]);
});
