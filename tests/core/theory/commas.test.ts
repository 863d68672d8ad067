import { expect, test } from 'vitest';
import { COMMAS, commaName, ratio, toCents } from '../../../src/core/theory/index.js';

test('COMMAS goes up by size from over 1/1 and stays under a major tone', () => {
  const cents = COMMAS.map((comma) => toCents(comma.ratio));
  expect(cents).toEqual([...cents].sort((a, b) => a - b));
  expect(cents[0]).toBeGreaterThan(0);
  expect(cents.at(-1)).toBeLessThan(204);
  expect(Object.isFrozen(COMMAS)).toBe(true);
});

test('COMMAS calls a comma by its ratio only if that is its ratio', () => {
  const plain = COMMAS.filter((comma) => comma.name.startsWith('comma '));
  expect(plain.length).toBeGreaterThan(0);
  for (const comma of plain) expect(ratio(comma.name.slice('comma '.length))).toEqual(comma.ratio);
});

test.each([
  ['81/80', 'syntonic comma'],
  ['80/81', 'syntonic comma'],
  ['32805/32768', 'schisma'],
  ['648/625', 'greater diesis'],
  ['81/40', undefined],
  ['5/4', undefined],
  ['1/1', undefined],
  ['6561/6400', undefined],
])('commaName of %s is %s', (text, name) => expect(commaName(ratio(text))).toBe(name));
