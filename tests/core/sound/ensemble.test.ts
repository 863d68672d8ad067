import { describe, expect, test } from 'vitest';
import { Ensemble } from '../../../src/core/sound/index.js';
import { toVoice } from '../../../src/core/theory/index.js';
import { type EventLine, peakOf, soundOf } from '../../support/sounding.js';

const on = (key: number, velocity = 90, channel = 0) => [0x90 | channel, key, velocity] as const;
const off = (key: number) => [0x80, key, 64] as const;
const pedal = (controller: number, isDown: boolean) => [0xb0, controller, isDown ? 127 : 0] as const;

/** How loud it is at a moment, 50 ms long. */
const levelAt = (told: readonly EventLine[], seconds: number) =>
  peakOf(soundOf(told, seconds + 0.1).left, seconds, seconds + 0.05);

describe('the pedals of an ensemble:', () => {
  test('sustain holds what is released, until it comes up', () => {
    const told: EventLine[] = [
      [0, ...pedal(64, true)],
      [0.1, ...on(60)],
      [0.3, ...off(60)],
      [1.5, ...pedal(64, false)],
    ];
    expect(levelAt(told, 1.3)).toBeGreaterThan(0.01);
    expect(levelAt(told, 2.2)).toBe(0);
  });

  test('sostenuto holds what is down when the pedal goes down, and nothing else', () => {
    const before: EventLine[] = [
      [0.1, ...on(60)],
      [0.2, ...pedal(66, true)],
      [0.3, ...off(60)],
    ];
    expect(levelAt(before, 1.3)).toBeGreaterThan(0.01);
    expect(levelAt([...before, [1.5, ...pedal(66, false)]], 2.2)).toBe(0);
    expect(
      levelAt(
        [
          [0, ...pedal(66, true)],
          [0.1, ...on(60)],
          [0.3, ...off(60)],
        ],
        1.3,
      ),
    ).toBe(0);
  });

  test('what sustain holds stays when sostenuto comes up', () => {
    const told: EventLine[] = [
      [0, ...on(60)],
      [0.1, ...pedal(66, true)],
      [0.2, ...pedal(64, true)],
      [0.3, ...off(60)],
      [0.4, ...pedal(66, false)],
    ];
    expect(levelAt(told, 1.3)).toBeGreaterThan(0.01);
    expect(levelAt([...told, [1.5, ...pedal(64, false)]], 2.2)).toBe(0);
  });

  test('soft makes notes softer that are struck while it is down', () => {
    const soft = levelAt(
      [
        [0, ...pedal(67, true)],
        [0.1, ...on(60)],
      ],
      0.5,
    );
    const loud = levelAt(
      [
        [0.1, ...on(60)],
        [0.2, ...pedal(67, true)],
      ],
      0.5,
    );
    expect(20 * Math.log10(soft / loud)).toBeCloseTo(-4, 1);
  });

  test('a key struck repeatedly under the pedal is at most twice as loud', () => {
    const told: EventLine[] = [[0, ...pedal(64, true)]];
    for (let i = 0; i < 40; i++) told.push([0.1 + i / 10, ...on(60)], [0.15 + i / 10, ...off(60)]);
    expect(levelAt(told, 4.5)).toBeLessThan(1.2 * levelAt([[0.1, ...on(60)]], 0.6));
  });
});

describe("the loudness and place of an ensemble's sound:", () => {
  const level = (...before: EventLine[]) => {
    const { left, right } = soundOf([...before, [0, ...on(60)]], 0.6);
    return [peakOf(left, 0.4, 0.6), peakOf(right, 0.4, 0.6)];
  };
  const [plain] = level([0, 0xb0, 7, 127]);
  const decibels = (value: number) => 20 * Math.log10(value / plain);

  test('volume and expression change the level by 40 dB for each tenth', () => {
    expect(decibels(level([0, 0xb0, 7, 64])[0])).toBeCloseTo(40 * Math.log10(64 / 127), 1);
    expect(decibels(level([0, 0xb0, 7, 127], [0, 0xb0, 11, 32])[0])).toBeCloseTo(
      40 * Math.log10(32 / 127),
      1,
    );
    expect(level([0, 0xb0, 7, 0])).toEqual([0, 0]);
  });

  test('pan has constant power (RP-036) at hard left, middle and hard right', () => {
    const [l, r] = level([0, 0xb0, 10, 64], [0, 0xb0, 7, 127]);
    expect(l / r).toBeCloseTo(1, 6);
    const [hardLeft, nothing] = level([0, 0xb0, 10, 0], [0, 0xb0, 7, 127]);
    expect(nothing).toBe(0);
    expect(hardLeft / l).toBeCloseTo(Math.SQRT2, 3);
    const [none, hardRight] = level([0, 0xb0, 10, 127], [0, 0xb0, 7, 127]);
    expect(none / hardRight).toBeLessThan(1e-12);
  });

  test('a harder stroke is louder', () => {
    const levels = [1, 32, 64, 96, 127].map((velocity) => levelAt([[0, ...on(60, velocity)]], 0.5));
    for (let i = 1; i < levels.length; i++) expect(levels[i]).toBeGreaterThan(1.2 * levels[i - 1]);
  });

  test('a change of volume while it sounds has no click', () => {
    const { left } = soundOf(
      [
        [0, ...on(40)],
        [1, 0xb0, 7, 0],
      ],
      2,
    );
    const steepest = (from: number, to: number) => {
      let most = 0;
      for (let i = from; i < to; i++) most = Math.max(most, Math.abs(left[i + 1] - left[i]));
      return most;
    };
    expect(steepest(47_900, 49_000)).toBeLessThan(1.1 * steepest(40_000, 47_000));
    expect(peakOf(left, 1.2, 2)).toBeLessThan(1e-6);
  });
});

describe("the ends of an ensemble's notes:", () => {
  test('two strokes of a key are released one by one', () => {
    const told: EventLine[] = [
      [0, ...on(60)],
      [0.1, ...on(60)],
      [0.3, ...off(60)],
    ];
    expect(levelAt(told, 1)).toBeGreaterThan(0.01);
    expect(levelAt([...told, [1.2, ...off(60)]], 2)).toBe(0);
  });

  test('All Sound Off is silent within a moment, All Notes Off lets the pedal hold', () => {
    expect(
      levelAt(
        [
          [0, ...on(60)],
          [0.5, 0xb0, 120, 0],
        ],
        0.6,
      ),
    ).toBe(0);
    const held: EventLine[] = [
      [0, ...pedal(64, true)],
      [0.1, ...on(60)],
      [0.5, 0xb0, 123, 0],
    ];
    expect(levelAt(held, 1)).toBeGreaterThan(0.01);
    expect(
      levelAt(
        [
          [0, ...on(60)],
          [0.5, 0xb0, 123, 0],
        ],
        1.2,
      ),
    ).toBe(0);
  });

  test('the end of the music releases everything, pedals and keys without an end', () => {
    const ensemble = new Ensemble(toVoice('bowed'), 48_000);
    for (const [, ...bytes] of [
      [0, ...pedal(64, true)],
      [0, ...on(60)],
      [0, ...on(64)],
    ] as EventLine[])
      ensemble.channel(bytes[0], bytes[1], bytes[2]);
    ensemble.channel(0x80, 64, 64);
    const [left, right] = [new Float64Array(96_000), new Float64Array(96_000)];
    ensemble.add(left, right, 0, 48_000);
    expect(ensemble.isSilent).toBe(false);
    ensemble.finish();
    ensemble.add(left, right, 48_000, 96_000);
    expect(ensemble.isSilent).toBe(true);
  });

  test('a reset of the receiver silences it, and volume and place are the defaults', () => {
    const ensemble = new Ensemble(toVoice('reed'), 48_000);
    const sound = () => {
      ensemble.channel(...([0x90, 60, 90] as [number, number, number]));
      const [left, right] = [new Float64Array(24_000), new Float64Array(24_000)];
      ensemble.add(left, right, 0, 24_000);
      ensemble.reset();
      ensemble.add(new Float64Array(24_000), new Float64Array(24_000), 0, 24_000);
      return [left, right];
    };
    const first = sound();
    ensemble.channel(0xb0, 7, 3);
    ensemble.channel(0xb0, 10, 3);
    ensemble.reset();
    expect(ensemble.isSilent).toBe(true);
    expect(sound()).toEqual(first);
  });
});

test('percussion is left out of an ensemble, and counted', () => {
  const ensemble = new Ensemble(toVoice('reed'), 48_000);
  ensemble.channel(0x99, 38, 100);
  ensemble.channel(0x89, 38, 64);
  expect([ensemble.isSilent, ensemble.percussion]).toEqual([true, 1]);
});
