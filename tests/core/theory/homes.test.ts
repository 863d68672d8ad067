import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  formatRatio,
  type Home,
  type HomeChoice,
  JUST_SCALE,
  noteName,
  parseA4,
  parseHomeList,
  parseTonic,
  type Tonic,
  toDeviationCents,
  toHome,
  toKeys,
  toReferenceCents,
} from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';

const C: Tonic = { keyClass: 0, fifths: 0 };
const KEYS = Array.from({ length: 12 }, (_, key) => key);

function list(text: string) {
  const read = parseHomeList(text);
  if (!read.ok) throw new Error(read.problem.message);
  return read.value;
}

const deviations = (home: Home): number[] => KEYS.map((key) => home.deviationCents[key]);

const SEPTIMAL = '1/1 15/14 8/7 6/5 5/4 4/3 7/5 3/2 8/5 5/3 7/4 15/8';
const EQUAL = '0 100.0 200.0 300.0 400.0 500.0 600.0 700.0 800.0 900.0 1000.0 1100.0';

const CHOICES: HomeChoice[] = [
  { kind: 'equal', tonic: C },
  { kind: 'just', tonic: C },
  { kind: 'meantone', tonic: C },
  { kind: 'pythagorean', tonic: C },
  { kind: 'list', tonic: C, list: list(SEPTIMAL) },
  { kind: 'list', tonic: C, list: list(EQUAL) },
];

describe.each(CHOICES)('a $kind home', (choice) => {
  test('has the tonic at its equal pitch and each point on its key, on any tonic', () => {
    const onC = toHome(choice);
    for (const tonicKey of KEYS) {
      const home = toHome({ ...choice, tonic: { keyClass: tonicKey, fifths: 0 } });
      expect(home.kind).toBe(choice.kind);
      expect(home.deviationCents[tonicKey]).toBe(0);
      expect(home.points[tonicKey]).toEqual([0, 0, 0, 0, 0, 0]);
      for (const key of KEYS) {
        const degree = (key - tonicKey + 12) % 12;
        expect(toKeys(home.points[key])).toBe(degree);
        expect(home.deviationCents[key]).toBe(onC.deviationCents[degree]);
        expect(home.points[key]).toEqual(onC.points[degree]);
      }
    }
  });

  test('is frozen', () => {
    const home = toHome(choice);
    expect(Object.isFrozen(home) && Object.isFrozen(home.tonic)).toBe(true);
    for (const key of KEYS) expect(Object.isFrozen(home.points[key])).toBe(true);
  });
});

describe('toHome', () => {
  test("has its points' pitches if it is just or Pythagorean", () => {
    for (const kind of ['just', 'pythagorean'] as const) {
      const home = toHome({ kind, tonic: C });
      for (const key of KEYS) expect(home.deviationCents[key]).toBe(toDeviationCents(home.points[key]));
    }
  });

  test('takes the just scale for the points of what no ratio gives', () => {
    for (const choice of CHOICES.filter(({ kind }) => kind === 'equal' || kind === 'meantone')) {
      expect(toHome(choice).points).toEqual(JUST_SCALE);
    }
    expect(toHome(CHOICES[5]).points).toEqual(JUST_SCALE);
    expect(deviations(toHome(CHOICES[5]))).toEqual(KEYS.map(() => 0));
  });

  test('has the ratios of a list that are on their keys', () => {
    expect(KEYS.map((key) => formatRatio(toHome(CHOICES[4]).points[key])).join(' ')).toBe(SEPTIMAL);
    // The fifth step, 4/3, lies on key 5 but stands on key 4.
    const home = toHome({
      kind: 'list',
      tonic: C,
      list: list('1/1 13/12 7/6 5/4 4/3 3/2 25/16 13/8 5/3 7/4 11/6 15/8'),
    });
    expect(formatRatio(home.points[4])).toBe('5/4');
    expect(home.deviationCents[4]).toBeCloseTo(98.045, 3);
    expect(formatRatio(home.points[1])).toBe('13/12');
  });

  test('spells a meantone and a Pythagorean home three fifths down and eight up', () => {
    const home = toHome({ kind: 'pythagorean', tonic: C });
    expect(KEYS.map((key) => noteName(home.points[key], C)).join(' ')).toBe(
      'C⁰ C♯⁰ D⁰ E♭⁰ E⁰ F⁰ F♯⁰ G⁰ G♯⁰ A⁰ B♭⁰ B⁰',
    );
  });

  test('works on every tonic that has a name', () => {
    forAll([fc.constantFrom(...'CDEFGAB'), fc.constantFrom('', '#', 'b', '♯♯', '♭♭')], (letter, sign) => {
      const tonic = parseTonic(letter + sign);
      if (!tonic.ok) throw new Error(tonic.problem.message);
      const home = toHome({ kind: 'just', tonic: tonic.value });
      expect(home.tonic).toEqual(tonic.value);
      expect(home.deviationCents[(tonic.value.keyClass + 4) % 12]).toBeCloseTo(-13.686, 3);
      expect(noteName(home.points[tonic.value.keyClass], tonic.value)[0]).toBe(letter);
    });
  });
});

test.each([
  ['C', 0, 0],
  ['F#', 6, 6],
  ['G♭', 6, -6],
  ['Bb', 10, -2],
  ['bb', 10, -2],
  ['b', 11, 5],
  ['E♭', 3, -3],
  [' a ', 9, 3],
  ['B♯', 0, 12],
  ['Cb', 11, -7],
  ['F##', 7, 13],
])('parseTonic: %s is key class %i at place %i', (text, keyClass, fifths) => {
  expect(parseTonic(text)).toEqual({ ok: true, value: { keyClass, fifths } });
});

test.each(['', 'H', 'C4', 'C#b', 'F###', 'Cmaj', '0', 'x'.repeat(1000)])(
  'parseTonic refuses a wrong choice of home, row %#',
  (text) => {
    const read = parseTonic(text);
    if (read.ok) throw new Error('was read');
    expect(read.problem.code).toBe('TONIC_NAME');
    expect(read.problem.message.length).toBeLessThan(60);
  },
);

test.each([
  ['440', 440],
  ['415.3', 415.3],
  [' 442 Hz', 442],
  ['392hz', 392],
  ['220', 220],
  ['880', 880],
])('parseA4 reads %s', (text, hertz) => expect(parseA4(text)).toEqual({ ok: true, value: hertz }));

test.each([
  ['', 'A4_TEXT'],
  ['-440', 'A4_TEXT'],
  ['4e2', 'A4_TEXT'],
  ['440 kHz', 'A4_TEXT'],
  ['NaN', 'A4_TEXT'],
  ['four hundred and forty', 'A4_TEXT'],
  ['219.999', 'A4_RANGE'],
  ['880.001', 'A4_RANGE'],
  ['0', 'A4_RANGE'],
])('parseA4 refuses "%s" with %s', (text, code) => {
  const read = parseA4(text);
  expect(read.ok ? 'read' : read.problem.code).toBe(code);
});

test('toReferenceCents is 0 at 440, octaves at 220 and 880, and a semitone at 466.1638', () => {
  expect(toReferenceCents(440)).toBe(0);
  expect(toReferenceCents(220)).toBe(-1200);
  expect(toReferenceCents(880)).toBe(1200);
  expect(toReferenceCents(466.163761518)).toBeCloseTo(100, 6);
  expect(toReferenceCents(415)).toBeCloseTo(-101.27, 2);
});
