import { describe, expect, test } from 'vitest';
import { isKeyMessage, toTunerEvents } from '../../../src/core/line/index.js';
import { createTuner, step, toSettings } from '../../../src/core/tuner/index.js';
import { messages } from '../../support/midi-bytes.js';
import { Telling } from '../../support/play.js';

/** A tuner that takes messages of part 3, and what came of them as `what key`. */
function play(...messages: [number, number, number][]): { told: string[]; wereKeys: boolean[] } {
  const tuner = createTuner(toSettings({}));
  const telling = new Telling();
  const wereKeys = messages.map(([status, data1, data2], i) => {
    for (const event of toTunerEvents(100 * i, 3, status, data1, data2)) step(tuner, event, telling);
    return isKeyMessage(status, data2);
  });
  const told = telling.told.filter(({ what }) => what !== 'retune').map(({ what, key }) => `${what} ${key}`);
  return { told, wereKeys };
}

const ON: [number, number, number] = [0x95, 60, 80];
const OFF: [number, number, number] = [0x85, 60, 40];

describe('a message as tuner events', () => {
  test('is a start for a note-on and an end for a note-off, both of a key', () => {
    const { told, wereKeys } = play(ON, OFF);
    expect(told).toEqual(['start 60', 'release 60', 'end 60']);
    expect(wereKeys).toEqual([true, true]);
  });

  test('is an end for a note-on of velocity 0', () => {
    expect(play(ON, [0x95, 60, 0])).toEqual({
      told: ['start 60', 'release 60', 'end 60'],
      wereKeys: [true, true],
    });
  });

  test.each([64, 66, 69])('has pedal %i down from 64 on, and it holds what is released', (pedal) => {
    const { told, wereKeys } = play(ON, [0xb5, pedal, 64], OFF, [0xb5, pedal, 63]);
    expect(told).toEqual(['start 60', 'release 60', 'end 60']);
    expect(wereKeys).toEqual([true, false, true, false]);
    expect(play(ON, [0xb5, pedal, 64], OFF).told).toEqual(['start 60', 'release 60']);
    expect(play(ON, [0xb5, pedal, 63], OFF).told).toEqual(['start 60', 'release 60', 'end 60']);
  });

  test('lets sostenuto hold only what was down when it went down', () => {
    expect(play([0xb5, 66, 127], ON, OFF).told).toEqual(['start 60', 'release 60', 'end 60']);
  });

  // RP-015, Response to Reset All Controllers: pedals come up.
  test.each([64, 66, 69])('ends with Reset All Controllers what pedal %i holds', (pedal) => {
    expect(play(ON, [0xb5, pedal, 127], OFF, [0xb5, 121, 0]).told).toEqual([
      'start 60',
      'release 60',
      'end 60',
    ]);
  });

  // MIDI 1.0 Detailed Specification 4.2.1, Channel Mode Messages.
  test.each([123, 124, 125, 126, 127])(
    'lifts the keys at mode message %i, while the pedal holds on',
    (mode) => {
      expect(play(ON, [0xb5, mode, 0]).told).toEqual(['start 60', 'release 60', 'end 60']);
      expect(play(ON, [0xb5, 64, 127], [0xb5, mode, 0]).told).toEqual(['start 60', 'release 60']);
    },
  );

  test('silences everything at All Sound Off, pedal or not', () => {
    expect(play(ON, [0xb5, 64, 127], [0xb5, 120, 0]).told).toEqual(['start 60', 'release 60', 'end 60']);
  });

  test.each(messages('0xb5 7 100, 0xb5 122 0, 0xc5 64 0, 0xd5 123 0, 0xa5 60 0, 0xe5 64 127'))(
    'is nothing for the message %i %i %i',
    (...message) => {
      const { told, wereKeys } = play(ON, message as [number, number, number], OFF);
      expect(told).toEqual(['start 60', 'release 60', 'end 60']);
      expect(wereKeys).toEqual([true, false, true]);
    },
  );
});

test.each([
  [0x90, 1, true],
  [0x95, 0, true],
  [0x8f, 64, true],
  [0xb0, 64, false],
  [0xa0, 64, false],
  [0xe0, 0, false],
])('isKeyMessage decides for status %i with %i: %s', (status, data2, isKey) =>
  expect(isKeyMessage(status, data2)).toBe(isKey),
);
