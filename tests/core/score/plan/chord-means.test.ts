import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toPulledMeans, toStrikeMeans, toTies } from '../../../../src/core/score/plan/chord-means.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, smallPieces } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

const BAND = { leewayCents: 2, rateCentsPerSecond: 3 };

describe('means of chords that are pulled home', () => {
  test('begin at home, and come nearer by the rate, until they are within the leeway', () => {
    const means = toPulledMeans(Float64Array.of(5, -16.5, -16.5, -16.5), Float64Array.of(1, 1, 60, 1), BAND);
    expect([...means].map((cents) => Number(cents.toFixed(6)))).toEqual([0, -21.5, -18.5, -2]);
  });

  test('fall behind music that drifts faster than the rate', () => {
    const drifting = Float64Array.from({ length: 11 }, (_, at) => -4 * at);
    const means = toPulledMeans(drifting, new Float64Array(11).fill(1), BAND);
    // Four cents farther each second, three of them drawn back, once it is outside.
    expect(means[10] - means[9]).toBeCloseTo(-1, 9);
  });

  test('are none without chords', () => {
    expect(toPulledMeans(new Float64Array(0), new Float64Array(0), BAND)).toHaveLength(0);
  });
});

const SETTINGS = toSettings({ strategy: 'free' });

test('a note reaches over a strike by its time', () => {
  forAll([smallPieces(12)], (notes) => {
    const { problem } = pose(notes, SETTINGS);
    const { held, oldest } = toTies(problem);
    const onsMs = [...new Set(notes.map(({ onMs }) => onMs))].sort((a, b) => a - b);
    expect(held).toHaveLength(onsMs.length);
    onsMs.forEach((atMs, at) => {
      expect(held[at]).toBe(notes.filter(({ onMs, offMs }) => onMs < atMs && offMs > atMs).length);
      // Heard after the strike before, held on or not.
      const heard = notes.filter(({ onMs, offMs }) => onMs < atMs && offMs > onsMs[at - 1]);
      const first = Math.min(at, ...heard.map(({ onMs }) => onsMs.indexOf(onMs)));
      expect(oldest[at]).toBe(first);
    });
  });
});

test('the mean at a strike is the mean of what is heard just after it; with held notes staying, of what is struck', () => {
  forAll([smallPieces(12), fc.constantFrom('follow', 'stay')], (notes, held) => {
    const { problem, live } = pose(notes, SETTINGS);
    const means = toStrikeMeans(problem, live, { ...SETTINGS, held });
    const onsMs = [...new Set(notes.map(({ onMs }) => onMs))].sort((a, b) => a - b);
    const deviation = ({ onMs, key }: { onMs: number; key: number }) => {
      const { first, end } = problem.strikes[onsMs.indexOf(onMs)];
      const slot = problem.slots.findIndex(
        ({ keyClass }, i) => i >= first && i < end && keyClass === key % 12,
      );
      const [, three, five] = live[slot];
      return three * 1.9550008653874 + five * -13.6862861351653;
    };
    onsMs.forEach((atMs, at) => {
      const heard = notes.filter(
        ({ onMs, offMs }) => onMs === atMs || (held === 'follow' && onMs < atMs && offMs > atMs),
      );
      const mean = heard.reduce((sum, note) => sum + deviation(note), 0) / heard.length;
      expect(means[at]).toBeCloseTo(mean, 6);
    });
  });
});
