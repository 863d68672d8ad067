import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  readBars,
  readPasses,
  readPlay,
  readSentence,
  readTempo,
  readText,
  readTunings,
  readView,
} from '../../../src/app/story/step-values.js';
import { forAll } from '../../support/properties.js';

const READERS = { readBars, readPasses, readPlay, readSentence, readTempo, readTunings, readView };

test.each([
  [readBars, 3, [3, 3]],
  [readBars, '12', [12, 12]],
  [readBars, '1 – 4', [1, 4]],
  [readTunings, 'equal', ['equal']],
  [readTunings, ['free', 'pull'], ['free', 'pull']],
  [readTempo, 0.25, 0.25],
  [readPasses, 100, 100],
  [readPlay, 'no', 'no'],
  [readView, 'lattice', 'lattice'],
  [readSentence, ' So. ', 'So.'],
] as const)('%o reads %j', (read, value, wanted) => {
  expect((read as (value: unknown) => unknown)(value)).toEqual({ value: wanted });
});

test.each([
  [readBars, '0'],
  [readBars, '4-'],
  [readBars, [1, 2]],
  [readTunings, [1]],
  [readTunings, ['free', 'free', 'free', 'free', 'free', 'free']],
  [readTempo, '1'],
  [readTempo, Number.NaN],
  [readPasses, 101],
  [readSentence, '  '],
] as const)('%o refuses %j with advice', (read, value) => {
  const refused = (read as (value: unknown) => { message?: string; advice?: string })(value);
  expect(refused.message).toMatch(/\w/);
  expect(refused.advice).toMatch(/\.$|\?$/);
});

test('a text has a bound', () => {
  expect(readText('abc', 3)).toEqual({ value: 'abc' });
  expect(readText('abcd', 3)).toEqual({ message: 'this has 4 characters', advice: 'Write at most 3.' });
});

test('property: whatever is given, a value of a step is read or refused in a short line', () => {
  forAll([fc.anything()], 300, (value) => {
    for (const read of Object.values(READERS)) {
      const one = read(value);
      if ('message' in one) expect(one.message.length).toBeLessThan(120);
    }
  });
});
