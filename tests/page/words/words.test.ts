import { describe, expect, test } from 'vitest';
import type { EntryFact } from '../../../src/core/protocol/index.js';
import { tellSettings } from '../../../src/core/settings/index.js';
import { formatCents } from '../../../src/core/theory/cents.js';
import { DEFAULT_SETTINGS } from '../../../src/core/tuner/index.js';
import { toEntrySentence, toLetter } from '../../../src/page/words/entry-sentence.js';
import { formatPower } from '../../../src/page/words/exact.js';
import { describeSounding, toHeadline } from '../../../src/page/words/headline.js';
import { count, formatClock, formatSize } from '../../../src/page/words/numbers.js';
import { keysOf } from '../../support/play.js';
import { Trio } from '../../support/trio.js';
import { returnOf } from '../frames.js';

const OFFSET = {
  n: 1,
  strategy: 'anchored',
  atMs: 0,
  untilMs: 2500,
  pass: 1,
  kind: 'offset',
  struck: 1,
  tied: 2,
  held: 'follow',
} as const;

describe('toEntrySentence', () => {
  test.each<[string, EntryFact]>([
    ['D came back one syntonic comma lower: 10/9 instead of 9/8.', returnOf()],
    [
      'D came back 2 syntonic commas higher: 9/8 instead of 10/9.',
      returnOf({ comma: '+2 syntonic commas', cents: 43, was: '10/9', now: '9/8' }),
    ],
    ['D came back one syntonic comma lower.', returnOf({ now: '2560000/1594323' })],
    [
      'B♭ came back 5.8 c lower: 10/9 instead of 9/8.',
      returnOf({ name: 'B♭3⁻¹₇', comma: '−1 syntonic comma, +1 septimal comma', cents: 5.76 - 11.52 }),
    ],
    ['The first chord took its place at home: +3.9 c.', { ...OFFSET, cause: 'first strike', cents: 3.91 }],
    ['Moved two tied notes 6 c up.', { ...OFFSET, cause: 'anchor', cents: 6 }],
    [
      'New notes stand 6 c further down; two tied notes kept still.',
      { ...OFFSET, cause: 'anchor', cents: -6, held: 'stay' },
    ],
    ['One new note took its place 14 c up.', { ...OFFSET, cause: 'anchor', cents: 13.5, tied: 0 }],
    ['Went home: 43 c up, with two tied notes.', { ...OFFSET, cause: 'home', cents: 43.01 }],
    ['Brought everything 7.5 c up in 2.5 s.', { ...OFFSET, cause: 'pull', cents: 7.5 }],
    [
      'E kept still for 2.5 s, at last 3 c below the harmony.',
      {
        n: 1,
        strategy: 'anchored',
        atMs: 0,
        untilMs: 2500,
        pass: 0,
        kind: 'impurity',
        key: 64,
        name: 'E4⁻¹',
        cents: -3,
        centSeconds: 7.5,
      },
    ],
  ])('%s', (sentence, entry) => {
    expect(toEntrySentence(entry)).toBe(sentence);
  });

  test.each([
    ['C4⁰', 'C'],
    ['F♯3⁻¹', 'F♯'],
    ['B♭♭2⁺¹', 'B♭♭'],
    ['F(7♯)4⁻⁹', 'F(7♯)'],
  ])('the letter of %s is %s', (name, letter) => {
    expect(toLetter(name)).toBe(letter);
  });
});

describe('toHeadline', () => {
  test('an empty sheet invites', () => {
    expect(toHeadline(undefined)).toBe('Play something, or start a piece.');
    expect(toHeadline(new Trio().frame())).toBe('Play something, or start a piece.');
  });

  test('says which strategy stands where, and after how many passes', () => {
    const frame = new Trio().chord(keysOf('C4 E4 G4')).frame();
    expect(toHeadline(frame)).toBe('Free is at home; anchored is at home.');
    const playing = {
      name: 'a',
      title: 'A',
      tempo: 1,
      loop: true,
      pass: { n: 3, atMs: 0 },
      positionMs: 0,
      lengthMs: 1,
    };
    const drift = { ...frame.drift, free: { ...frame.drift.free, cents: -43.01 } };
    expect(toHeadline({ ...frame, playing, drift })).toBe(
      'Free is 43 c flat after two passes; anchored is at home.',
    );
  });
});

test('what sounds, for the top line', () => {
  const fact = {
    ...tellSettings(DEFAULT_SETTINGS),
    leewayCents: { pull: 2, anchored: 8 },
    bypass: false,
    inputs: [],
    outputs: [],
  };
  expect(describeSounding(fact)).toBe('anchored, leeway 8 c');
  expect(describeSounding({ ...fact, strategy: 'pull' })).toBe('pulled home at 3 c a second, leeway 2 c');
  expect(describeSounding({ ...fact, strategy: 'free' })).toBe('free: the pitch may drift');
  expect(describeSounding({ ...fact, recallCents: 12 })).toBe('anchored, leeway 8 c, recall 12 c');
  expect(describeSounding({ ...fact, bypass: true })).toBe('12 equal: Leeway stands aside');
});

test.each([
  ['6400/6561', '(80/81)²'],
  ['80/81', '80/81'],
  ['1/1', '1/1'],
  ['128/125', '128/125'],
  ['2^-48·3^48·5^-12', '(81/80)¹²'],
  ['nonsense', 'nonsense'],
])('the power in %s is %s', (ratio, power) => {
  expect(formatPower(ratio)).toBe(power);
});

test('numbers', () => {
  expect([-21.506, 0.02, 1.955].map(formatCents)).toEqual(['−21.5 c', '0.0 c', '+2.0 c']);
  expect([-42.98, 9.94, 8, 0.04].map(formatSize)).toEqual(['43 c', '9.9 c', '8 c', '0 c']);
  expect([1, 2, 13].map((n) => count(n, 'pass', 'passes'))).toEqual(['one pass', 'two passes', '13 passes']);
  expect([0, 75_250, 59_960].map(formatClock)).toEqual(['0:00.0', '1:15.3', '1:00.0']);
});
