import { expect, test } from 'vitest';
import { toReturnWords } from '../../../src/core/sheet/column-layout.js';
import { drawParts } from '../../../src/core/sheet/index.js';
import { ratio } from '../../../src/core/theory/index.js';
import type { BuiltNote } from '../../support/build-midi.js';
import { passageOf, textsOf } from '../../support/passages.js';

test.each([
  ['80/81', '↓80/81'],
  ['81/80', '↑81/80'],
])('a note on a sheet that came back by %s is marked %s', (comma, words) => {
  expect(toReturnWords(ratio(comma))).toBe(words);
});

test('sharps on a sheet are side by side before a head, four and more as a figure', () => {
  // Eight pure thirds on each other, each on the one held before it.
  const notes = [36, 40, 44, 48, 52, 56, 60, 64].map((key, i): BuiltNote => [4 * i, 4 * i + 8, key]);
  const passage = passageOf(notes, { strategy: 'free' });
  const struck = passage.columns.flatMap(({ notes: all }) =>
    all.filter(({ presence }) => presence === 'struck'),
  );
  expect(struck.map(({ name }) => name.replace(/\d.*/, ''))).toEqual(
    'C E G♯ B♯ D♯♯ F♯♯♯ A♯♯♯ C♯♯♯♯'.split(' '),
  );
  const words = drawParts(passage, 370).systems.flatMap(({ drawing }) =>
    textsOf(drawing).map((text) => text.words),
  );
  const accidentals = words.filter((word) => /^\d?♯+$/.test(word));
  // Each also stands once more where it is tied over.
  expect([...new Set(accidentals)]).toEqual(['♯', '♯♯', '♯♯♯', '4♯']);
});
