import { describe, expect, test } from 'vitest';
import { DEFAULT_SETTINGS, toSettings } from '../../../src/core/tuner/index.js';

describe('toSettings', () => {
  test('is the default where nothing is changed', () => {
    expect(toSettings({})).toEqual(DEFAULT_SETTINGS);
    expect(DEFAULT_SETTINGS.strategy).toBe('anchored');
    expect(DEFAULT_SETTINGS.held).toBe('follow');
  });

  test.each([
    ['free', Infinity],
    ['pull', 2],
    ['anchored', 8],
  ] as const)('%s has a leeway of %d cents, unless it is given', (strategy, leewayCents) => {
    expect(toSettings({ strategy }).leewayCents).toBe(leewayCents);
    expect(toSettings({ strategy, leewayCents: 5 }).leewayCents).toBe(5);
  });

  test('is frozen', () => {
    expect(Object.isFrozen(toSettings({ limit: 7 }))).toBe(true);
    expect(Object.isFrozen(DEFAULT_SETTINGS)).toBe(true);
  });
});
