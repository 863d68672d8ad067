import fc from 'fast-check';
import { expect, test } from 'vitest';
import { forStrategies, STRATEGIES, TUNINGS } from '../../../src/core/protocol/index.js';
import {
  figureOf,
  sayAccount,
  sayDrift,
  sayHeadline,
  sayPasses,
} from '../../../src/page/words/drift-words.js';
import { describeTuning, driftOf, nameTuning } from '../../../src/page/words/tunings.js';
import { keysOf } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { Trio } from '../../support/trio.js';

/** Cents of a sentence with their sign: those given back go the other way. */
function readSum(words: string): { parts: number[]; left: number | undefined } {
  const low = (text: string) => (/lower|low\b/.test(text) ? -1 : 1);
  const commas = /The chords moved (.*?): ([\d.]+) cents\./.exec(words);
  const given = /([\d.]+) cents were given back/.exec(words);
  const moved = /[Aa]ll chords were moved ([\d.]+) cents (lower|higher)/.exec(words);
  const end = /: ([\d.]+) cents (low|high)\.$/.exec(words);
  const first = commas === null ? 0 : Number(commas[2]);
  const sign = commas === null ? 1 : low(commas[1]);
  return {
    parts: [
      sign * first,
      given === null ? 0 : -sign * Number(given[1]),
      moved === null ? 0 : low(moved[2]) * Number(moved[1]),
    ],
    left: words.endsWith('nothing is left.') ? 0 : end === null ? undefined : low(end[2]) * Number(end[1]),
  };
}

test('what a sentence says of the drift adds up to the figure beside it', () => {
  forAll(
    [fc.integer({ min: -12, max: 12 }), fc.double({ min: -300, max: 300, noNaN: true })],
    (commas, backCents) => {
      const commaCents = 21.50629 * commas;
      const size = Math.abs(commas);
      const comma =
        commas === 0 ? 'none' : `${commas < 0 ? '−' : '+'}${size} syntonic comma${size === 1 ? '' : 's'}`;
      const drift = { comma, commaCents, backCents, leftCents: commaCents + backCents };
      const { parts, left } = readSum(sayAccount(drift));
      const figure = Number(figureOf(drift.leftCents).replace('−', '-'));
      const sum = parts.reduce((total, part) => total + part, 0);
      expect(sum).toBeCloseTo(figure, 6);
      if (left !== undefined) expect(left).toBeCloseTo(figure, 6);
    },
  );
});

test('after a pump of any length, under any strategy, words, figure and exact drift agree', () => {
  const trio = new Trio();
  const pump = ['C3 G4 E5 C5', 'A3 E4 C5 A4', 'D3 F4 D5 A4', 'G3 D5 B4 G4'].map(keysOf);
  for (let pass = 1; pass <= 4; pass++) {
    for (const keys of pump) {
      trio.chord(keys);
      const { drift } = trio.frame();
      for (const which of STRATEGIES) {
        const one = drift[which];
        const { parts, left } = readSum(sayAccount(one));
        const figure = Number(figureOf(one.leftCents).replace('−', '-'));
        expect(parts.reduce((total, part) => total + part, 0)).toBeCloseTo(figure, 6);
        if (left !== undefined) expect(left).toBeCloseTo(figure, 6);
        expect(one.leftCents).toBeCloseTo(one.commaCents + one.backCents, 2);
      }
      expect(drift.free.backCents).toBe(0);
    }
    expect(trio.frame().drift.free.leftCents).toBeCloseTo(-21.50629 * pass, 2);
  }
});

test.each([
  [0, 'where it began', '0.0'],
  [-0.04, 'where it began', '0.0'],
  [-21.506, '21.5 cents low', '−21.5'],
  [8, '8.0 cents high', '+8.0'],
])('a drift of %d cents is said as %s and written %s', (cents, words, figure) => {
  expect(sayDrift(cents)).toBe(words);
  expect(figureOf(cents)).toBe(figure);
});

test('a pass is told once it is over, of the heard tuning', () => {
  const left = { ...forStrategies(() => 0), free: -21.506 };
  expect(sayPasses([], 'free')).toBe('');
  expect(sayPasses([{ n: 1, atMs: 0, left }], 'free')).toBe('');
  expect(sayPasses([{ n: 2, atMs: 0, left }], 'free')).toBe('After 1 pass free was 21.5 cents low.');
  expect(sayPasses([{ n: 3, atMs: 0, left }], 'equal')).toBe('After 2 passes 12 equal was where it began.');
});

test('the headline invites to play before the first note, and then tells the drift', () => {
  const { drift } = new Trio().chord(keysOf('C4 E4 G4')).frame();
  expect(sayHeadline(drift.free, 'free', [], false)).toBe('Play something, or start a piece.');
  expect(sayHeadline(drift.free, 'free', [], true)).toBe('The chords are where they began.');
  expect(sayHeadline(drift.free, 'equal', [], true)).toBe('12 equal stays where it began.');
});

test('every tuning has a name and a sentence of its own, and 12 equal never drifts', () => {
  expect(TUNINGS.map(nameTuning)).toEqual(['12 equal', 'free', 'pull', 'anchored', 'temper']);
  const sentences = TUNINGS.map((tuning) => describeTuning(tuning, undefined));
  expect(new Set(sentences).size).toBe(TUNINGS.length);
  const { drift } = new Trio().chord(keysOf('C4 E4 G4')).frame();
  expect(driftOf(drift, 'equal').leftCents).toBe(0);
  expect(driftOf(drift, 'pull')).toBe(drift.pull);
  expect(driftOf(undefined, 'pull').leftCents).toBe(0);
});
