import { describe, expect, test } from 'vitest';
import {
  type Bend,
  createMpe,
  createMultichannel,
  decideBend,
  toBendCents,
} from '../../src/core/outlet/index.js';
import { messages } from '../support/midi-bytes.js';
import { numbers } from '../support/numbers.js';
import { SynthModel } from '../support/synth-model.js';

const RANGES = [2, 12, 24, 48];

// MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change: 14 bits, LSB first, 00 40 is the centre. The values are the
// sender's formula of MPE 1.1, Appendix C, min(round(semitones · 8192 / range) + 8192, 16383), worked by hand for the
// pure intervals, at bend ranges of 2, 12, 24 and 48 semitones.
const BENDS: readonly [name: string, cents: number, ...values: number[]][] = [
  ['unison', 0, 8192, 8192, 8192, 8192],
  ['5/4', -13.6863, 7631, 8099, 8145, 8169],
  ['3/2', 1.955, 8272, 8205, 8199, 8195],
  ['6/5', 15.6413, 8833, 8299, 8245, 8219],
  ['5/3', -15.6413, 7551, 8085, 8139, 8165],
  ['7/4', -31.1741, 6915, 7979, 8086, 8139],
  ['11/8', -48.6821, 6198, 7860, 8026, 8109],
  ['15/8', -11.7313, 7711, 8112, 8152, 8172],
  ['10/9', -17.5963, 7471, 8072, 8132, 8162],
  ['a syntonic comma down', -21.5063, 7311, 8045, 8119, 8155],
  ['a quarter tone', 50, 10240, 8533, 8363, 8277],
  ['a semitone', 100, 12288, 8875, 8533, 8363],
  ['a semitone down', -100, 4096, 7509, 7851, 8021],
  ['a tone', 200, 16383, 9557, 8875, 8533],
];

const out: Bend = { value: 0, clamped: false };

describe('pitch bend values', () => {
  test.each(BENDS)('are right for %s, %d cents', (_name, cents, ...values) => {
    RANGES.forEach((range, i) => {
      decideBend(cents, range, out);
      expect([range, out.value]).toEqual([range, values[i]]);
    });
  });

  // MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change: 00 00 is the lowest, 7F 7F the highest.
  test('saturate at 00 00 and 7F 7F', () => {
    decideBend(201, 2, out);
    expect(out).toEqual({ value: 16383, clamped: true });
    decideBend(-201, 2, out);
    expect(out).toEqual({ value: 0, clamped: true });
    decideBend(-200, 2, out);
    expect(out).toEqual({ value: 0, clamped: false });
  });

  // The size of one step, 100 · range / 8192 cents.
  test.each(numbers('1 0.012207, 2 0.024414, 12 0.146484, 24 0.292969, 48 0.585938, 96 1.171875'))(
    'have steps at %d semitones of %d cents',
    (range, cents) => expect(toBendCents(8193, range)).toBeCloseTo(cents, 6),
  );

  // MPE 1.1, Appendix C: 7 semitones at a range of 48 are sent as 9387, 2 at a range of 2 as 16383.
  test('are those of the MPE sender', () => {
    decideBend(700, 48, out);
    expect(out.value).toBe(9387);
    decideBend(200, 2, out);
    expect(out.value).toBe(16383);
  });

  // MPE 1.1, 2.4.1 prints E2 2B 41 for a quarter tone at a range of 48. That is 8363, a semitone at 48 and a quarter tone
  // at 24; 50 cents at 48 is 8277.
  test('differ from the printed quarter tone, which is one at 24 semitones', () => {
    decideBend(50, 48, out);
    expect([out.value & 0x7f, out.value >> 7]).toEqual([0x55, 0x40]);
    decideBend(50, 24, out);
    expect([out.value & 0x7f, out.value >> 7]).toEqual([0x2b, 0x41]);
    expect(toBendCents(8363, 48)).toBeCloseTo(100.2, 1);
  });
});

describe('setting up the receiver', () => {
  const sent = (make: (sink: SynthModel) => { open(): void }): number[][] => {
    const synth = new SynthModel();
    make(synth).open();
    return synth.log;
  };

  // MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity: RPN 00 00, data entry MSB semitones, LSB cents; both
  // parameter bytes each time; the null parameter 7F 7F afterwards.
  test('gives a plain channel its bend range and centres it', () => {
    const log = sent((sink) =>
      createMultichannel({ channels: [3], rangeSemitones: 2, releaseHoldMs: 0, sink }),
    );
    expect(log).toEqual(
      numbers(`0xb3 0x65 0x00, 0xb3 0x64 0x00, 0xb3 0x06 0x02, 0xb3 0x26 0x00, 0xb3 0x65 0x7f, 0xb3 0x64 0x7f,
      0xe3 0x00 0x40`),
    );
  });

  // MPE 1.1, MPE Configuration Message: RPN 00 06 on channel 1 or 16, data entry MSB the number of members.
  test.each([
    ['lower', 15, messages('0xb0 0x65 0x00, 0xb0 0x64 0x06, 0xb0 0x06 0x0f')],
    ['upper', 5, messages('0xbf 0x65 0x00, 0xbf 0x64 0x06, 0xbf 0x06 0x05')],
  ] as const)('configures the %s zone with %d members', (zone, members, bytes) => {
    const log = sent((sink) => createMpe({ zone, members, rangeSemitones: 48, releaseHoldMs: 0, sink }));
    expect(log.slice(0, 3)).toEqual(bytes);
  });

  // MPE 1.1, 2.2: members of the lower zone go upward from channel 2, of the upper zone downward from channel 15; the bend
  // sensitivity is sent to every member individually.
  test.each([
    ['lower', 15, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15]],
    ['lower', 1, [1]],
    ['upper', 14, [14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1]],
  ] as const)('sends RPN 0 to each member of a %s zone of %d', (zone, members, channels) => {
    const log = sent((sink) => createMpe({ zone, members, rangeSemitones: 48, releaseHoldMs: 0, sink }));
    const ranges = log.filter(([, controller, value]) => controller === 0x06 && value === 48);
    expect(ranges.map(([status]) => status & 0x0f)).toEqual(channels);
  });
});
