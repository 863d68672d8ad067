import { expect, test } from 'vitest';
import { ratio, UNISON } from '../../../src/core/theory/index.js';
import { createTuner, toSettings } from '../../../src/core/tuner/index.js';
import { namePoint, toHomeRatio, toLetter } from '../../../src/core/words/index.js';

test.each([
  ['C4⁰', 'C'],
  ['F♯3⁻¹', 'F♯'],
  ['B♭♭2⁺¹', 'B♭♭'],
  ['F(7♯)4⁻⁹', 'F(7♯)'],
  ['C5⁰ᵈ⁻²', 'C'],
  ['?', '?'],
])('the letter of %s is %s', (name, letter) => expect(toLetter(name)).toBe(letter));

test('a point has the octave of its key; its ratio to home has none, and stays near 1/1 for a tonic that drifts', () => {
  const tuner = createTuner(toSettings({}));
  expect(namePoint(tuner, UNISON, 60)).toBe('C4⁰');
  expect(toHomeRatio(tuner, ratio('5/2'), 76)).toEqual(ratio('5/4'));
  expect(toHomeRatio(tuner, ratio('160/81'), 72)).toEqual(ratio('80/81'));
});
