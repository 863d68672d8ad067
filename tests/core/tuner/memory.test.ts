import { describe, expect, test } from 'vitest';
import { formatRatio, ratio } from '../../../src/core/theory/index.js';
import { createMemory, remember } from '../../../src/core/tuner/memory.js';
import { Playing } from '../../support/play.js';

describe('memory', () => {
  test('has the latest note of each key class, with its place, its key and its end', () => {
    const memory = createMemory();
    remember(memory, 0, 60, ratio('1/1'), 100);
    remember(memory, 0, 72, ratio('160/81'), 200);
    expect(memory[0]).toEqual({ point: ratio('160/81'), key: 72, endedMs: 200 });
    expect(memory.slice(1).every((slot) => slot === undefined)).toBe(true);
  });

  test('has notes that have ended, not those that sound', () => {
    const music = new Playing().strike([60, 64]).wait(100);
    expect(music.tuner.memory.every((slot) => slot === undefined)).toBe(true);
    music.lift([64]);
    expect(music.tuner.memory[4]).toEqual({ point: music.tuner.memory[4]?.point, key: 64, endedMs: 100 });
  });

  test('has a pure seventh at its place without prime 7', () => {
    const music = new Playing({ limit: 7 }).chord([60, 64, 67, 70]);
    expect(formatRatio(music.point(70))).toBe('7/4');
    music.chord([]);
    expect(music.tuner.memory[10]?.point.slice(3)).toEqual([0, 0, 0]);
  });

  test('connects detached chords: a note that returns at once is where it was', () => {
    for (const key of [48, 55, 61, 66]) {
      const music = new Playing({ strategy: 'free' }).chord([key, key + 4, key + 7]);
      const before = music.point(key + 7);
      music
        .chord([])
        .wait(50)
        .chord([key + 7]);
      expect(music.point(key + 7)).toEqual(before);
    }
  });
});
