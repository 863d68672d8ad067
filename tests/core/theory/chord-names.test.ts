import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  multiply,
  nameChord,
  type PrimeVector,
  parseNoteName,
  power,
  ratio,
  toKeys,
  withKeys,
} from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';

const C = { fifths: 0 };

/** Notes by their names, each above the one before. */
function notesOf(names: string): { key: number; point: PrimeVector }[] {
  let key = 48;
  return names.split(' ').map((name) => {
    const read = parseNoteName(name, C);
    if (!read.ok) throw new Error(read.problem.message);
    const { point } = read.value;
    key += (((toKeys(point) - key) % 12) + 12) % 12;
    return { key, point: withKeys(point, key - 60) };
  });
}

function nameOf(names: string): readonly (string | undefined)[] {
  const name = nameChord(notesOf(names), C);
  return [name?.long, name?.short];
}

/** Each type in close position on its root, and then with each of its other notes as the bass. */
const TYPES = [
  ['C E G', 'C', 'C'],
  ['D F A', 'D minor', 'Dm'],
  ['B D F', 'B diminished', 'Bdim'],
  ['C E G#', 'C augmented', 'Caug'],
  ['C F G', 'C suspended fourth', 'Csus4'],
  ['G B D F', 'G seventh', 'G7'],
  ['C E G B', 'C major seventh', 'Cmaj7'],
  ['D F A C', 'D minor seventh', 'Dm7'],
  ['B D F A', 'B half-diminished seventh', 'Bm7♭5'],
  ['B D F Ab', 'B diminished seventh', 'Bdim7'],
  ['A C E G#', 'A minor with major seventh', 'Am(maj7)'],
  ['F A C G', 'F with added ninth', 'Fadd9'],
  ['D F A E', 'D minor with added ninth', 'Dm(add9)'],
  ['Bb D F', 'B♭', 'B♭'],
  ['F# A# C# E', 'F♯ seventh', 'F♯7'],
  ['Eb Gb Bb', 'E♭ minor', 'E♭m'],
] as const;

describe('a chord has its name', () => {
  test.each(TYPES)('%s: %s, over any bass', (names, long, short) => {
    const all = names.split(' ');
    expect(nameOf(names)).toEqual([long, short]);
    // A sixth in common practice: its root is the bass.
    const isSixth = (bass: string) => ['D F A C', 'B D F A'].includes(names) && bass === all[1];
    for (const [i, bass] of all.entries()) {
      if (i === 0 || isSixth(bass)) continue;
      const turned = [...all.slice(i), ...all.slice(0, i)].join(' ');
      const letter = bass.replace('#', '♯').replace('b', '♭');
      const isSuspended = short === 'Csus4' && bass === 'F';
      if (isSuspended) expect(nameOf(turned)).toEqual(['F suspended second', 'Fsus2']);
      else expect(nameOf(turned)).toEqual([`${long} over ${letter}`, `${short}/${letter}`]);
    }
  });

  test.each([
    ['F A C D', 'F sixth', 'F6'],
    ['D F A B', 'D minor sixth', 'Dm6'],
    ['A C D F', 'D minor seventh over A', 'Dm7/A'],
    ['C D G', 'C suspended second', 'Csus2'],
    ['D G C', 'G suspended fourth over D', 'Gsus4/D'],
    ['C G', 'open fifth C–G', 'C5'],
    ['G C G', 'open fifth C–G over G', 'C5/G'],
    ['E C E G E', 'C over E', 'C/E'],
    // By its letters: the same keys as the augmented chords on C and on E.
    ['C E Ab', 'A♭ augmented over C', 'A♭aug/C'],
    ['B# E G#', 'E augmented over C', 'Eaug/C'],
    ['D F Ab B', 'B diminished seventh over D', 'Bdim7/D'],
    // With a tied letter that fits none, by the keys.
    ['C D# G', 'C minor', 'Cm'],
    ['D# G C', 'C minor over D♯', 'Cm/D♯'],
  ])('%s is %s', (names, long, short) => {
    expect(nameOf(names)).toEqual([long, short]);
  });

  test.each(['C', 'C E', 'C C#', 'C D E', 'C C# D Eb', 'C E G B D', 'C Gb'])('none: %s', (names) => {
    expect(nameOf(names)).toEqual([undefined, undefined]);
  });

  test('from its own place, near or far, whatever the commas', () => {
    const moves = fc.tuple(fc.integer({ min: -30, max: 30 }), fc.integer({ min: -9, max: 9 }));
    forAll([fc.constantFrom(...TYPES), moves], ([names, long, short], [commas, dieses]) => {
      const drift = multiply(power(ratio('81/80'), commas), power(ratio('128/125'), dieses));
      const moved = notesOf(names).map(({ key, point }) => ({ key, point: multiply(point, drift) }));
      // A turn of fifths away the letters are the usual ones.
      if (dieses === 0) expect(nameChord(moved, C)).toEqual({ long, short });
      else expect(nameChord(moved, C)?.short).toMatch(/^[A-G][♯♭]?[^♯♭]*(m7♭5)?$/);
    });
  });

  test('with pure sevenths too: 4:5:6:7 and 5:6:7', () => {
    const over = (keys: readonly number[], ratios: string) =>
      ratios.split(' ').map((text, i) => ({ key: 60 + keys[i], point: ratio(text) }));
    expect(nameChord(over([0, 4, 7, 10], '1/1 5/4 3/2 7/4'), C)?.short).toBe('C7');
    expect(nameChord(over([4, 7, 10], '5/4 3/2 7/4'), C)?.short).toBe('Edim');
    expect(nameChord([], C)).toBeUndefined();
  });
});
