import { describe, expect, test } from 'vitest';
import {
  amount,
  SECTIONS,
  SETTINGS,
  type Setting,
  TUNER,
  toField,
  toFields,
  toPrimes,
  toReportedSettings,
  toWords,
  whole,
} from '../../../src/core/settings/index.js';
import { DEFAULT_SETTINGS, STRATEGIES, toSettings } from '../../../src/core/tuner/index.js';

test('values of settings have their names in code, without open ones and those of another table', () => {
  expect(toFields(TUNER, { glide: 80, limit: undefined, held: 'stay' })).toEqual({
    glideMs: 80,
    held: 'stay',
  });
  expect(toFields(TUNER, { plan: 'live' } as object)).toEqual({});
  expect([toField(TUNER, 'strike-window'), toField(TUNER, 'held')]).toEqual(['strikeWindowMs', 'held']);
});

test('settings have numbers, words and primes', () => {
  expect([whole(1, 9, 'bars').whole, amount(0.1, 9, 'cents').unit]).toEqual([true, 'cents']);
  expect(toWords(TUNER.strategy)).toEqual(STRATEGIES);
  expect(toPrimes(TUNER.limit)).toEqual([3, 5, 7, 11, 13]);
});

/** Every setting of every section, with the section beside it. */
const rows = Object.entries(SECTIONS).flatMap(([section, { settings }]) =>
  Object.entries(settings).map(([key, setting]): [string, string, Setting] => [section, key, setting]),
);

describe.each(rows)('the setting [%s] %s', (section, key, setting) => {
  test('has bounds with room between them, in a unit', () => {
    if (!('least' in setting)) return;
    expect(setting.least).toBeLessThan(setting.most);
    expect(setting.unit).not.toBe('');
  });

  test('mentions only existing settings and values', () => {
    const beside =
      setting.default !== undefined && typeof setting.default !== 'string' ? [setting.default] : [];
    for (const { key: other, is } of [
      ...beside,
      ...(setting.only === undefined ? [] : [setting.only]),
      ...(setting.idle ?? []),
    ]) {
      const known = SECTIONS[section as keyof typeof SECTIONS].settings[other];
      expect(known).toBeDefined();
      if (is.length > 0) expect(known?.kind).toBe('word');
      if (known?.kind === 'word') expect(toWords(known)).toEqual(expect.arrayContaining([...is]));
      expect(other).not.toBe(key);
    }
    for (const action of setting.actions ?? []) expect(toWords(SETTINGS.action.do)).toContain(action);
  });
});

test.each(STRATEGIES.filter((strategy) => strategy !== 'free'))(
  'every default of %s is within its bounds',
  (strategy) => {
    const told: Readonly<Record<string, unknown>> = toReportedSettings(toSettings({ strategy }));
    for (const [key, setting] of Object.entries<Setting>(TUNER)) {
      const value = told[setting.field ?? key];
      if (setting.kind === 'word') expect(toWords(setting)).toContain(value);
      if (setting.kind === 'prime') expect(toPrimes(setting)).toContain(value);
      if (setting.kind === 'scale') expect(Object.keys(setting.names)).toContain(value);
      if (setting.kind !== 'number' && setting.kind !== 'pitch') continue;
      expect(value).toBeGreaterThanOrEqual(setting.least);
      expect(value).toBeLessThanOrEqual(setting.most);
    }
    expect(DEFAULT_SETTINGS.strategy).toBe('anchored');
  },
);
