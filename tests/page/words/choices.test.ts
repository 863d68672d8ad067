import { expect, test } from 'vitest';
import { TUNER } from '../../../src/core/settings/index.js';
import { toChoices } from '../../../src/page/words/choices.js';

test('the page has its words for each value of a setting', () => {
  expect(toChoices(TUNER.held, 'stay')).toEqual([
    ['follow', 'glide along'],
    ['stay', 'keep their pitch'],
  ]);
  expect(toChoices(TUNER.limit, 5).map(([value]) => value)).toEqual([3, 5, 7, 11, 13]);
  expect(toChoices(TUNER.home, 'just').map(([, name]) => name)).toEqual(
    '12 equal, just, quarter-comma meantone, Pythagorean'.split(', '),
  );
});

test('the page shows a present value that it cannot set', () => {
  expect(toChoices(TUNER.home, 'list').at(-1)).toEqual(['list', 'your own scale']);
  expect(toChoices(TUNER.tonic, 'E♯')[0]).toEqual(['E♯', 'E♯']);
  expect(toChoices(TUNER.tonic, 'D').filter(([tonic]) => tonic === 'D')).toHaveLength(1);
});
