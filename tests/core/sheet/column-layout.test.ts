import { expect, test } from 'vitest';
import { toReturnWords } from '../../../src/core/sheet/column-layout.js';
import { drawParts } from '../../../src/core/sheet/index.js';
import { ratio } from '../../../src/core/theory/index.js';
import type { BuiltNote } from '../../support/build-midi.js';
import { passageOf, textsOf } from '../../support/passages.js';
import { homeOn } from '../../support/play.js';

test.each([
  ['80/81', '↓80/81'],
  ['81/80', '↑81/80'],
])('a note on a sheet that came back by %s is marked %s', (comma, words) => {
  expect(toReturnWords(ratio(comma))).toBe(words);
});

test('sharps on a sheet are side by side before a head, four and more as a figure', () => {
  // Pure thirds on each other, each on the one held before it; the fourth is the first, a diesis low.
  const notes = [37, 41, 45, 49].map((key, i): BuiltNote => [4 * i, 4 * i + 8, key]);
  const passage = passageOf(notes, { strategy: 'free', home: homeOn('equal', 'B##') });
  const struck = passage.columns.flatMap(({ notes: all }) =>
    all.filter(({ presence }) => presence === 'struck'),
  );
  expect(struck.map(({ name }) => name.replace(/\d.*/, ''))).toEqual('B♯♯ D♯♯♯ F♯♯♯♯ B♯♯'.split(' '));
  const words = drawParts(passage, 370).systems.flatMap(({ drawing }) =>
    textsOf(drawing).map((text) => text.words),
  );
  const accidentals = words.filter((word) => /^\d?♯+$/.test(word));
  // Each also stands once more where it is tied over.
  expect([...new Set(accidentals)]).toEqual(['♯♯', '♯♯♯', '4♯']);
});
