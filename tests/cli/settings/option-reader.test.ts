import { expect, test } from 'vitest';
import { type CommandOption, OPTIONS } from '../../../src/cli/settings/command-options.js';
import { OptionReader } from '../../../src/cli/settings/option-reader.js';
import { LeewayError } from '../../../src/io/leeway-error.js';

const { passes, voice } = OPTIONS;
const width = {
  flags: '--bend-range <width>',
  kind: 'word',
  words: { wide: '', narrow: '' },
  does: '',
} as const satisfies CommandOption;

test('an option is read under its name in commander, and one that is not given has its default', () => {
  const reader = new OptionReader({ passes: '7', bendRange: 'wide' });
  expect(reader.take(passes)).toBe(7);
  expect(reader.take(width)).toBe('wide');
  expect(reader.take({ ...width, flags: '--seconds <width>' })).toBeUndefined();
  expect(reader.mistakes).toEqual([]);
});

test('mistakes in options are gathered with their flags, and their defaults are used', () => {
  const before = new LeewayError({ code: 'USAGE', message: 'Before.', advice: 'Look.' });
  const mistakes = [before];
  const reader = new OptionReader({ passes: 'many', voice: 'brass' }, mistakes);
  expect(reader.take(passes)).toBe(4);
  expect(reader.take(voice)).toBe('reed');
  expect(reader.mistakes).toBe(mistakes);
  expect(mistakes.map(({ code }) => code)).toEqual(['USAGE', 'VALUE_NOT_NUMBER', 'VALUE_UNKNOWN']);
  expect(mistakes.map(({ message }) => /^--[a-z]+/.exec(message)?.[0])).toEqual([
    undefined,
    '--passes',
    '--voice',
  ]);
});

test('of several values of an option the right ones are read', () => {
  const reader = new OptionReader({ passes: ['1', 'many', '3'] });
  expect(reader.many('--passes', passes)).toEqual([1, 3]);
  expect(reader.many('--seconds', passes)).toEqual([]);
  expect(reader.mistakes).toHaveLength(1);
});
