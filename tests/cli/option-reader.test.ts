import { expect, test } from 'vitest';
import { OptionReader } from '../../src/cli/option-reader.js';
import { RANGES } from '../../src/cli/ranges.js';
import { readNumber, readWord } from '../../src/cli/read-values.js';
import { LeewayError } from '../../src/io/leeway-error.js';

const passes = readNumber(RANGES.passes);

test('what is given is read, under the name commander has for it; what isn’t is at its stock value', () => {
  const reader = new OptionReader({ passes: '7', bendRange: 'wide' });
  expect(reader.take('--passes', passes, 4)).toBe(7);
  expect(reader.take('--bend-range', readWord(['wide', 'narrow']), 'narrow')).toBe('wide');
  expect(reader.take('--seconds', passes, undefined)).toBeUndefined();
  expect(reader.mistakes).toEqual([]);
});

test('what is wrong is gathered, each with its flag, and stock stands in for it', () => {
  const before = new LeewayError({ code: 'USAGE', message: 'Before.', advice: 'Look.' });
  const mistakes = [before];
  const reader = new OptionReader({ passes: 'many', voice: 'brass' }, mistakes);
  expect(reader.take('--passes', passes, 4)).toBe(4);
  expect(reader.take('--voice', readWord(['reed']), 'reed')).toBe('reed');
  expect(reader.mistakes).toBe(mistakes);
  expect(mistakes.map(({ code }) => code)).toEqual(['USAGE', 'VALUE_NOT_NUMBER', 'VALUE_UNKNOWN']);
  expect(mistakes.map(({ message }) => /^--[a-z]+/.exec(message)?.[0])).toEqual([
    undefined,
    '--passes',
    '--voice',
  ]);
});

test('of several values, those that are right', () => {
  const reader = new OptionReader({ passes: ['1', 'many', '3'] });
  expect(reader.many('--passes', passes)).toEqual([1, 3]);
  expect(reader.many('--seconds', passes)).toEqual([]);
  expect(reader.mistakes).toHaveLength(1);
});
