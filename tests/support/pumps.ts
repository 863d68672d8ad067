import { multiply, type PrimeLimit, type PrimeVector, power, ratio } from '../../src/core/theory/index.js';
import { numbers } from './numbers.js';
import { keyOf } from './play.js';

/** One chord of a pump: its keys, its root, and the exact place of the root over the first chord's, octaves left out. */
export interface PumpChord {
  readonly keys: string;
  readonly root: string;
  readonly at: string;
  /** Keys tied over from the chord before; every key they share where nothing is said. */
  readonly tied?: string;
}

/** A row of chords that ends with its first one, a comma away if every chord is pure and every tie held. */
export interface Pump {
  readonly name: string;
  readonly limit: PrimeLimit;
  /** What one pass moves the first root by. */
  readonly drift: string;
  /** The chords of a pass. The first one comes back after the last. */
  readonly chords: readonly PumpChord[];
}

/** Chords as text: root, its place, keys, the tied ones. @example chordsOf('G 1/1: G3 B3 D4 F4 tied F4 | C# 10/7: G#3 B3 C#4 F4') */
function chordsOf(text: string): PumpChord[] {
  return text.split(' | ').map((chord) => {
    const [, root, at, keys, tied] = /^(\S+) (\S+): (.*?)(?: tied (.*))?$/.exec(chord)!;
    return tied === undefined ? { keys, root, at } : { keys, root, at, tied };
  });
}

/** Twelve major triads, each root the same number of keys above the one before, all within an octave. */
function circle(stepKeys: 5 | 7): PumpChord[] {
  const names = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];
  return Array.from({ length: 12 }, (_, i) => {
    const root = (i * stepKeys) % 12;
    const keys = [root, root + 4, root + 7].map((key) => `${names[key % 12]}4`).join(' ');
    const at = stepKeys === 7 ? `${3 ** i}/${2 ** i}` : `${4 ** i}/${3 ** i}`;
    return { keys, root: names[root], at };
  });
}

/**
 * Strict pumps: every chord pure, every common tone held. Sources: common practice for the chains of thirds and fifths
 * (H. von Helmholtz, On the Sensations of Tone, ch. XVI, on the commas between them); C. Huygens, Cosmotheoros, 1698,
 * for C F D G C; the products of the root moves are arithmetic.
 */
export const PUMPS: readonly Pump[] = [
  {
    name: 'I vi ii V I: a syntonic comma down',
    limit: 5,
    drift: '80/81',
    chords: chordsOf('C 1/1: C3 E4 G4 C5 | A 5/6: A2 E4 A4 C5 | D 10/9: D3 F4 A4 D5 | G 40/27: G2 G4 B4 D5'),
  },
  {
    name: 'I IV ii V I: a syntonic comma down',
    limit: 5,
    drift: '80/81',
    chords: chordsOf('C 1/1: C3 E4 G4 C5 | F 4/3: F3 F4 A4 C5 | D 10/9: D3 F4 A4 D5 | G 40/27: G2 G4 B4 D5'),
  },
  {
    name: 'I V ii vi I: a syntonic comma up',
    limit: 5,
    drift: '81/80',
    chords: chordsOf('C 1/1: C3 E4 G4 C5 | G 3/2: G2 G4 B4 D5 | D 9/8: D3 F4 A4 D5 | A 27/16: A2 E4 A4 C5'),
  },
  {
    name: 'melody C G D A E C, each note over the next: a syntonic comma up',
    limit: 5,
    drift: '81/80',
    chords: chordsOf('C 1/1: C4 G4 | G 3/2: D4 G4 | D 9/8: D4 A4 | A 27/16: E4 A4 | C 81/80: C4 E4'),
  },
  {
    name: 'held-soprano puzzle, C G, D, A, C: a syntonic comma up',
    limit: 5,
    drift: '81/80',
    chords: chordsOf('C 1/1: C4 G4 | G 3/2: D4 G4 | D 9/8: D4 A4 | A 27/16: C4 A4'),
  },
  {
    name: 'three major thirds up: a lesser diesis down',
    limit: 5,
    drift: '125/128',
    chords: chordsOf('C 1/1: C4 E4 G4 | E 5/4: B3 E4 G#4 | G# 25/16: C4 D#4 G#4'),
  },
  {
    name: 'three major thirds down: a lesser diesis up',
    limit: 5,
    drift: '128/125',
    chords: chordsOf('C 1/1: C4 E4 G4 | G# 8/5: C4 D#4 G#4 | E 32/25: B3 E4 G#4'),
  },
  {
    name: 'four minor thirds up: a greater diesis up',
    limit: 5,
    drift: '648/625',
    chords: chordsOf('C 1/1: C4 E4 G4 | D# 6/5: D#4 G4 A#4 | F# 36/25: C#4 F#4 A#4 | A 216/125: C#4 E4 A4'),
  },
  {
    name: 'four minor thirds down: a greater diesis down',
    limit: 5,
    drift: '625/648',
    chords: chordsOf('C 1/1: C4 E4 G4 | A 5/3: C#4 E4 A4 | F# 25/18: C#4 F#4 A#4 | D# 125/108: D#4 G4 A#4'),
  },
  {
    name: 'twelve fifths up: a Pythagorean comma up',
    limit: 5,
    drift: '531441/524288',
    chords: circle(7),
  },
  {
    name: 'twelve fourths up: a Pythagorean comma down',
    limit: 5,
    drift: '524288/531441',
    chords: circle(5),
  },
  {
    name: 'C7 F7 G7 C7, each 4:5:6:7: a septimal comma up',
    limit: 7,
    drift: '64/63',
    chords: chordsOf('C 1/1: C4 E4 G4 A#4 | F 4/3: C4 D#4 F4 A4 | G 32/21: D4 F4 G4 B4'),
  },
  {
    name: 'G7 D♭7 G7, the third tied to become the seventh: a tritonic diesis up',
    limit: 7,
    drift: '50/49',
    chords: chordsOf('G 1/1: G3 B3 D4 F4 tied F4 | C# 10/7: G#3 B3 C#4 F4 tied B3'),
  },
  {
    name: 'G7 D♭7 G7, the seventh tied to become the third: a tritonic diesis down',
    limit: 7,
    drift: '49/50',
    chords: chordsOf('G 1/1: G3 B3 D4 F4 tied B3 | C# 7/5: G#3 B3 C#4 F4 tied F4'),
  },
];

/** Members of the chords by their keys above the root: 4:5:6:7 and 10:12:15. */
const MEMBERS: Readonly<Record<number, string>> = { 0: '1/1', 3: '6/5', 4: '5/4', 7: '3/2', 10: '7/4' };

/** Where a key of a chord stands when every chord is pure, relative to the first root; octaves don't count. */
export function pumpPoint(pump: Pump, index: number, pass: number, key: number): PrimeVector {
  const { root, at } = pump.chords[index];
  const member = MEMBERS[(key - keyOf(`${root}-1`)) % 12];
  return multiply(multiply(ratio(at), ratio(member)), power(ratio(pump.drift), pass));
}

/** What a hand does for the next chord: keys that come up, and keys that go down. The others stay. */
export interface HandMove {
  readonly lift: readonly number[];
  readonly strike: readonly number[];
}

const FALLING = numbers('60 64 67, 57 60 64, 57 62 65, 55 62 67, 60 64 67');

/** A pump on C A D G C that falls a comma, its common tones held; the last chord, which is the first, sounds on. */
export const TIED_PUMP: readonly HandMove[] = FALLING.map((chord, i) => {
  const down = FALLING[i - 1] ?? [];
  return {
    lift: down.filter((key) => !chord.includes(key)),
    strike: chord.filter((key) => !down.includes(key)),
  };
});

/** The chord it ends with. */
export const LAST_CHORD: readonly number[] = FALLING[FALLING.length - 1];
