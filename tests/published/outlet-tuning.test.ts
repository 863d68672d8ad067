import { describe, expect, test } from 'vitest';
import { createMts } from '../../src/core/outlet/index.js';
import { formatTuningChange, TOP_TUNING, toTuning } from '../../src/core/outlet/tuning-word.js';
import { SynthModel } from '../support/synth-model.js';

const toBytes = (tuning: number): number[] => [tuning >> 14, (tuning >> 7) & 0x7f, tuning & 0x7f];
const toCents = (hertz: number): number => 6900 + 1200 * Math.log2(hertz / 440);

// MIDI Tuning Updated Specification, Frequency Data Format, the table of examples. Seven of its frequencies are misprinted
// (00 00 01 by a third of a semitone's hundredth, the rest in the last places); these are the words' true frequencies,
// 440 · 2^((xx + yyzz/16384 − 69)/12).
const WORDS: readonly (readonly [hex: string, hertz: number])[] = [
  ['00 00 00', 8.175799],
  ['00 00 01', 8.175828],
  ['01 00 00', 8.661957],
  ['0C 00 00', 16.351598],
  ['3C 00 00', 261.625565],
  ['3D 00 00', 277.182631],
  ['44 7F 7F', 439.998449],
  ['45 00 00', 440.0],
  ['45 00 01', 440.001551],
  ['78 00 00', 8372.01809],
  ['78 00 01', 8372.047605],
  ['7F 00 00', 12543.853951],
  ['7F 00 01', 12543.898175],
  ['7F 7F 7E', 13289.656616],
];

const parseHex = (hex: string): number[] => hex.split(' ').map((byte) => Number.parseInt(byte, 16));

describe('tuning words', () => {
  test.each(WORDS)('the tuning word %s is %d Hz', (hex, hertz) => {
    expect(toBytes(toTuning(toCents(hertz)))).toEqual(parseHex(hex));
  });

  // Pure intervals above an equal-tempered middle C.
  test.each([
    ['5/4', 5 / 4, '3F 6E 3E'],
    ['3/2', 3 / 2, '43 02 40'],
    ['7/4', 7 / 4, '45 58 0C'],
  ])('give the interval %s above middle C', (_name, ratio, hex) => {
    expect(toBytes(toTuning(6000 + 1200 * Math.log2(ratio)))).toEqual(parseHex(hex));
  });

  // Same section: the fraction has 14 bits, so rounding 0.99999 of a semitone carries; 7F 7F 7F is reserved, "no change".
  test('carry into the semitone and are never "no change"', () => {
    expect(toBytes(toTuning(6099.999))).toEqual([0x3d, 0, 0]);
    expect(toBytes(toTuning(12_799.999))).toEqual([0x7f, 0x7f, 0x7e]);
    expect(toBytes(toTuning(20_000))).toEqual([0x7f, 0x7f, 0x7e]);
    expect(toBytes(toTuning(-5))).toEqual([0, 0, 0]);
    expect(toBytes(TOP_TUNING)).toEqual([0x7f, 0x7f, 0x7e]);
  });
});

describe('single-note tuning change', () => {
  // MIDI Tuning Updated Specification, Single Note Tuning Change (Real-Time): F0 7F dd 08 02 tt ll [kk xx yy zz] F7,
  // 8 + 4·ll bytes.
  test('has the bytes of the specification', () => {
    const bytes = formatTuningChange(0x7f, 3, 0x40, toTuning(6386.313714));
    expect([...bytes]).toEqual(parseHex('F0 7F 7F 08 02 03 01 40 3F 6E 3E F7'));
    expect(bytes.length).toBe(8 + 4);
  });

  test('comes before its note-on', () => {
    const synth = new SynthModel();
    const outlet = createMts({ device: 0x10, program: 0, channelOf: () => 0, sink: synth });
    outlet.open();
    const opened = synth.log.length;
    outlet.start(0, 1, 0, 64, 90, 6386.313714);
    expect(synth.log.slice(opened)).toEqual([
      parseHex('F0 7F 10 08 02 00 01 40 3F 6E 3E F7'),
      [0x90, 0x40, 90],
    ]);
  });

  // MIDI Tuning Updated Specification, RPN 00 03 Tuning Program Select: Bn 65 00 64 03 06 tt.
  test('is for the tuning program that the channel was set to use', () => {
    const synth = new SynthModel();
    createMts({ device: 0x7f, program: 7, channelOf: () => 4, sink: synth }).open();
    expect(synth.log.slice(0, 3)).toEqual([parseHex('B4 65 00'), parseHex('B4 64 03'), parseHex('B4 06 07')]);
  });
});
