import { describe, expect, test } from 'vitest';
import { divide, formatRatio, type PrimeVector, toCents } from '../../src/core/theory/index.js';
import { DEFAULT_WEIGHTS, type Strategy } from '../../src/core/tuner/index.js';
import { homeOn, keysOf, Playing } from '../support/play.js';

/**
 * R. Asmussen, "Tuning by Ratios" (University of Leeds, web pages) and "A Rule-based System for Tuning Chord
 * Progressions": I–vi–ii–V–I in four voices, soprano first, as multiples of the base, C2.
 */
const ASMUSSEN = [
  ['E5 G4 G4 C3', '10/1 6/1 6/1 2/1'],
  ['C5 A4 E4 A3', '8/1 20/3 5/1 10/3'],
  ['F5 A4 A4 D3', '32/3 20/3 20/3 20/9'],
  ['D5 B4 G4 G3', '9/1 15/2 6/1 3/1'],
  ['E5 C5 G4 C3', '10/1 8/1 6/1 2/1'],
] as const;

/** Every note of a chord as a multiple of C2, two octaves below the tonic's 1/1. */
function multiplesOf(playing: Playing, keys: readonly number[]): string {
  return keys.map((key) => formatRatio(divide(playing.point(key), [-2, 0, 0, 0, 0, 0]))).join(' ');
}

describe('I–vi–ii–V–I in four voices (Asmussen)', () => {
  test.each(['free', 'pull', 'anchored'] as const)(
    'is as printed with the just scale as home: %s',
    (strategy) => {
      const playing = new Playing({ strategy, home: homeOn('just', 'C') });
      const found = ASMUSSEN.map(([names]) => {
        const keys = keysOf(names);
        return multiplesOf(playing.chord([...new Set(keys)]), keys);
      });
      expect(found).toEqual(ASMUSSEN.map(([, multiples]) => multiples));
      expect(playing.returned(2)).toBe('81/80');
      expect(playing.returned(0)).toBe('1/1');
    },
  );

  test('falls by a comma where every common tone is held and no memory counts', () => {
    const weights = { ...DEFAULT_WEIGHTS, recall: 0, returnPrice: 0 };
    const playing = new Playing({ strategy: 'free', home: homeOn('just', 'C'), weights });
    let before: number[] = [];
    const found = ASMUSSEN.map(([names]) => {
      const keys = keysOf(names);
      const held = before.filter((key) => keys.some((other) => (other - key) % 12 === 0));
      const chord = [...new Set(keys)];
      // The common tones sound into the new chord, in whatever octave they were, and are let go under it.
      playing.chord([...new Set([...chord, ...held])]).chord(chord);
      before = chord;
      return multiplesOf(playing, keys);
    });
    expect(found.slice(0, 3)).toEqual(ASMUSSEN.slice(0, 3).map(([, multiples]) => multiples));
    // V stands on 40/27 (160/27 above C2 is two octaves higher), the last tonic on 160/81 and its octaves.
    expect(found[3]).toBe('80/9 200/27 160/27 80/27');
    expect(found[4]).toBe('800/81 640/81 160/27 160/81');
    expect(playing.returned(0)).toBe('80/81');
  });
});

/**
 * A fragment of Lasso with its ratios worked out on a web page (2009), G = 1, octaves left out; soprano first. Printed are
 * the first six chords and the level of the cadence (D on 5/27, the last G on 80/81); between them the page gives no
 * ratios, and the plainest way there is played: the suspension resolves, then C, D and G. Keys that two neighbouring
 * chords share are tied.
 */
const LASSO = [
  'G4 D4 B3 G3',
  'G4 E4 C4 C3',
  'A4 F4 C4 F3',
  'Bb4 F4 D4 Bb2',
  'Bb4 G4 D4 Bb2',
  'A4 G4 C4 C3',
  'A4 F4 C4 C3',
  'G4 E4 C4 C3',
  'F#4 D4 A3 D3',
  'G4 D4 B3 G2',
];

/** The printed ratios of the first four chords: no compromise so far. */
const LASSO_OPENING = ['1/1 3/1 5/1 1/1', '1/1 5/3 1/3 1/3', '5/9 1/9 1/3 1/9', '1/27 1/9 5/27 1/27'];

/** What the page's drifting version costs: one tied D moved by a comma, one third of 32/27, the tonic a comma low. */
const PRINTED = { tiedShifts: 1, impure: 1, driftCents: 21.5063 };

/** Ratios of thirds, fourths and unisons that are pure, octaves and inversions left out. */
const PURE = ['1/1', '3/1', '5/1', '5/3', '3/5', '1/3', '1/5'];

const withoutOctaves = ([, ...rest]: PrimeVector): PrimeVector => [0, ...rest];

/** Pairs of key classes that make a third, a fourth, a fifth or a sixth and aren't pure. */
function countImpure(playing: Playing): number {
  const { notes } = playing.tuner;
  const impure = new Set<string>();
  for (const a of notes) {
    for (const b of notes) {
      const keys = (((a.key - b.key) % 12) + 12) % 12;
      if (![3, 4, 5].includes(keys)) continue;
      const ratio = formatRatio(withoutOctaves(divide(a.point, b.point)));
      if (!PURE.includes(ratio)) impure.add(`${a.keyClass} ${b.keyClass}`);
    }
  }
  return impure.size;
}

/** A tactus slow enough for a chord to be heard out. */
const TACTUS_MS = 2000;

function playLasso(strategy: Strategy): { playing: Playing; impure: number; tiedShifts: number } {
  const playing = new Playing({ strategy, leewayCents: 0, home: homeOn('just', 'G') });
  let impure = 0;
  let tiedShifts = 0;
  for (const names of LASSO) {
    const keys = keysOf(names);
    const tied = playing.tuner.notes.filter((note) => keys.includes(note.key));
    const before = tied.map((note) => note.reportedCents);
    playing.chord(keys, keys, TACTUS_MS);
    impure += countImpure(playing);
    tiedShifts += tied.filter((note, i) => Math.abs(note.reportedCents - before[i]) > 21.5).length;
  }
  return { playing, impure, tiedShifts };
}

describe('a fragment of Lasso', () => {
  test('begins with the printed ratios', () => {
    const playing = new Playing({ strategy: 'free', home: homeOn('just', 'G') });
    const found = LASSO.slice(0, LASSO_OPENING.length).map((names) => {
      const keys = keysOf(names);
      playing.chord(keys, keys, TACTUS_MS);
      return keys.map((key) => formatRatio(withoutOctaves(playing.point(key)))).join(' ');
    });
    expect(found).toEqual(LASSO_OPENING);
  });

  test('has under free nothing impure and no tied note moved, for at most a comma of drift more than printed', () => {
    const { playing, impure, tiedShifts } = playLasso('free');
    expect({ impure, tiedShifts }).toEqual({ impure: 0, tiedShifts: 0 });
    const tonic = playing.point(keysOf('G4')[0]);
    const spared = PRINTED.impure + PRINTED.tiedShifts;
    expect(Math.abs(toCents(tonic))).toBeLessThanOrEqual((1 + spared) * PRINTED.driftCents + 1e-3);
  });

  test('ends anchored at home as the version with two shifts does, and moves no tied note by a comma', () => {
    const { playing, tiedShifts } = playLasso('anchored');
    expect(playing.meanFromHome()).toBeCloseTo(0, 9);
    expect(tiedShifts).toBe(0);
  });
});
