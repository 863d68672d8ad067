import { describe, expect, test } from 'vitest';
import { multiply, ratio, UNISON } from '../../../src/core/theory/index.js';
import { toDeciders, toHeard } from '../../../src/core/tuner/fill-scene.js';
import { DEFAULT_WEIGHTS, toRecallWeight } from '../../../src/core/tuner/index.js';
import { createMemory, remember } from '../../../src/core/tuner/memory.js';
import type { Background } from '../../../src/core/tuner/note.js';

describe('toDeciders', () => {
  test('gives sounding notes first, then remembered ones with their weight', () => {
    const memory = createMemory();
    remember(memory, 7, 67, ratio('3/2'), 500);
    const sounding = [{ presence: 'held', key: 60, point: UNISON, weight: 1.5 }] as const;
    const background: Background = {
      atMs: 2500,
      sounding,
      memory,
      level: UNISON,
      plane: UNISON,
      weights: DEFAULT_WEIGHTS,
    };
    const recalled = { presence: 'recalled', key: 67, point: ratio('3/2') };
    const weight = toRecallWeight(DEFAULT_WEIGHTS, 2);
    expect(toDeciders(background)).toEqual([...sounding, { ...recalled, weight }]);
    expect(background.sounding).toHaveLength(1);
  });

  test('has remembered notes at the offset of held ones', () => {
    const memory = createMemory();
    remember(memory, 7, 67, ratio('3/2'), 500);
    const level = ratio('36/35');
    const heard = { atMs: 1000, sounding: [], memory, level, plane: ratio('8/7') };
    const [recalled] = toDeciders({ ...heard, weights: DEFAULT_WEIGHTS });
    expect(recalled.point).toEqual(multiply(ratio('3/2'), level));
  });

  test('is not changed by what is remembered later', () => {
    const memory = createMemory();
    remember(memory, 7, 67, ratio('3/2'), 500);
    const kept = memory.slice();
    const background: Background = {
      atMs: 1000,
      sounding: [],
      memory: kept,
      level: UNISON,
      plane: UNISON,
      weights: DEFAULT_WEIGHTS,
    };
    const before = toDeciders(background);
    remember(memory, 7, 79, ratio('40/27'), 900);
    expect(toDeciders(background)).toEqual(before);
  });
});

describe('a remembered note', () => {
  const level = ratio('36/35');

  test('is heard at the offset of held notes', () => {
    const point = ratio('3/2');
    expect(toHeard(point, UNISON, UNISON)).toBe(point);
    expect(toHeard(point, level, ratio('8/7'))).toEqual(multiply(point, level));
  });

  test('is heard where it was, if it was moved along', () => {
    const point = ratio('12/7');
    expect(toHeard(point, level, ratio('8/7'))).toBe(point);
  });
});
