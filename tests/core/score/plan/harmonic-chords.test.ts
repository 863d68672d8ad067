import { describe, expect, test } from 'vitest';
import { inflectPath } from '../../../../src/core/score/plan/harmonic-chords.js';
import { formatRatio, type PrimeLimit, type PrimeVector, ratio } from '../../../../src/core/theory/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, toChords } from '../../../support/planning.js';

function inflect(notes: readonly SmallNote[], path: readonly string[], limit: PrimeLimit): string[] {
  const { problem } = pose(notes, toSettings({ strategy: 'free' }));
  // Slots go by key class: the same order for every strike.
  const points = path.map(ratio);
  return inflectPath(problem, points, limit).points.map((point) =>
    formatRatio([0, point[1], point[2], point[3], point[4], point[5]]),
  );
}

/** G7, its slots by key class: D F G B. */
const G7 = ['9/1', '1/3', '3/1', '15/1'];

describe('higher primes in a plan', () => {
  test('a dominant seventh becomes 4:5:6:7, in the limit that allows it', () => {
    const notes = toChords(['G3 B3 D4 F4']);
    expect(inflect(notes, G7, 5)).toEqual(G7);
    expect(inflect(notes, G7, 7)).toEqual(['9/1', '21/1', '3/1', '15/1']);
  });

  test('a seventh that is tied over into a chord it has no place in stays plain', () => {
    const notes = toChords(['G3 B3 D4 F4', 'A3 C4 F4']);
    expect(inflect(notes, [...G7, '1/1', '5/3'], 7).slice(0, 4)).toEqual(G7);
    const struckAnew = toChords(['G3 B3 D4 F4', 'A3 C4 F4'], false);
    expect(inflect(struckAnew, [...G7, '1/1', '1/3', '5/3'], 7)[1]).toBe('21/1');
  });

  test.each<[PrimeLimit, string, string[], string, string, string]>([
    // By key class: C♯ D F G B, then C♯ D♯ A♯ or, tied, D♯ A♯: over D♯ the C♯ would have a place, over G it has none.
    [11, 'G3 B3 D4 F4 C#5', ['135/1', '9/1', '1/3', '3/1', '15/1'], 'A#3 D#4 C#5', '135/1', '33/1'],
    // D E♭ F G B, then C E♭ A♭ or, tied, C A♭.
    [13, 'G3 B3 D4 F4 D#5', ['9/1', '3/5', '1/3', '3/1', '15/1'], 'G#3 C4 D#5', '3/5', '39/1'],
  ])(
    'by the limit of %i %s is inflected, unless it is tied over into a chord without a place for it',
    (limit, first, path, next, plain, pure) => {
      const at = path.indexOf(plain);
      const rest = ['1/1', '1/1', '1/1'];
      expect(inflect(toChords([first]), path, limit)[at]).toBe(pure);
      expect(inflect(toChords([first, next], false), [...path, ...rest], limit)[at]).toBe(pure);
      expect(inflect(toChords([first, next]), [...path, ...rest.slice(1)], limit)[at]).toBe(plain);
      expect(inflect(toChords([first]), path, 7)[at]).toBe(plain);
    },
  );

  test('a ninth placed beside the plain seventh is a pure fifth over its fifth, with and without the 7', () => {
    const { problem } = pose(toChords(['G3 B3 D4 F4 A4']), toSettings({ strategy: 'free' }));
    // By key class: D F G A B; the A a third over F.
    const path = ['9/1', '1/3', '3/1', '5/3', '15/1'].map(ratio);
    const { frames, points } = inflectPath(problem, path, 7);
    const toOdd = (found: readonly PrimeVector[]) => found.map(([, ...odd]) => formatRatio([0, ...odd]));
    expect(toOdd(frames)).toEqual(['9/1', '1/3', '3/1', '27/1', '15/1']);
    expect(toOdd(points)).toEqual(['9/1', '21/1', '3/1', '27/1', '15/1']);
  });

  test('a seventh over which the rest of its chord moves stays pure', () => {
    const notes = [...toChords(['G3 D4 F4 B4']), { onMs: 500, offMs: 1000, key: 74 }];
    expect(inflect(notes, [...G7, '9/1'], 7)[1]).toBe('21/1');
  });
});
