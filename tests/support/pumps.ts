import { multiply, type PrimeLimit, type PrimeVector, power, ratio } from '../../src/core/theory/index.js';
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
    chords: [
      { keys: 'C3 E4 G4 C5', root: 'C', at: '1/1' },
      { keys: 'A2 E4 A4 C5', root: 'A', at: '5/6' },
      { keys: 'D3 F4 A4 D5', root: 'D', at: '10/9' },
      { keys: 'G2 G4 B4 D5', root: 'G', at: '40/27' },
    ],
  },
  {
    name: 'I IV ii V I: a syntonic comma down',
    limit: 5,
    drift: '80/81',
    chords: [
      { keys: 'C3 E4 G4 C5', root: 'C', at: '1/1' },
      { keys: 'F3 F4 A4 C5', root: 'F', at: '4/3' },
      { keys: 'D3 F4 A4 D5', root: 'D', at: '10/9' },
      { keys: 'G2 G4 B4 D5', root: 'G', at: '40/27' },
    ],
  },
  {
    name: 'I V ii vi I: a syntonic comma up',
    limit: 5,
    drift: '81/80',
    chords: [
      { keys: 'C3 E4 G4 C5', root: 'C', at: '1/1' },
      { keys: 'G2 G4 B4 D5', root: 'G', at: '3/2' },
      { keys: 'D3 F4 A4 D5', root: 'D', at: '9/8' },
      { keys: 'A2 E4 A4 C5', root: 'A', at: '27/16' },
    ],
  },
  {
    name: 'melody C G D A E C, each note over the next: a syntonic comma up',
    limit: 5,
    drift: '81/80',
    chords: [
      { keys: 'C4 G4', root: 'C', at: '1/1' },
      { keys: 'D4 G4', root: 'G', at: '3/2' },
      { keys: 'D4 A4', root: 'D', at: '9/8' },
      { keys: 'E4 A4', root: 'A', at: '27/16' },
      { keys: 'C4 E4', root: 'C', at: '81/80' },
    ],
  },
  {
    name: 'held-soprano puzzle, C G, D, A, C: a syntonic comma up',
    limit: 5,
    drift: '81/80',
    chords: [
      { keys: 'C4 G4', root: 'C', at: '1/1' },
      { keys: 'D4 G4', root: 'G', at: '3/2' },
      { keys: 'D4 A4', root: 'D', at: '9/8' },
      { keys: 'C4 A4', root: 'A', at: '27/16' },
    ],
  },
  {
    name: 'three major thirds up: a lesser diesis down',
    limit: 5,
    drift: '125/128',
    chords: [
      { keys: 'C4 E4 G4', root: 'C', at: '1/1' },
      { keys: 'B3 E4 G#4', root: 'E', at: '5/4' },
      { keys: 'C4 D#4 G#4', root: 'G#', at: '25/16' },
    ],
  },
  {
    name: 'three major thirds down: a lesser diesis up',
    limit: 5,
    drift: '128/125',
    chords: [
      { keys: 'C4 E4 G4', root: 'C', at: '1/1' },
      { keys: 'C4 D#4 G#4', root: 'G#', at: '8/5' },
      { keys: 'B3 E4 G#4', root: 'E', at: '32/25' },
    ],
  },
  {
    name: 'four minor thirds up: a greater diesis up',
    limit: 5,
    drift: '648/625',
    chords: [
      { keys: 'C4 E4 G4', root: 'C', at: '1/1' },
      { keys: 'D#4 G4 A#4', root: 'D#', at: '6/5' },
      { keys: 'C#4 F#4 A#4', root: 'F#', at: '36/25' },
      { keys: 'C#4 E4 A4', root: 'A', at: '216/125' },
    ],
  },
  {
    name: 'four minor thirds down: a greater diesis down',
    limit: 5,
    drift: '625/648',
    chords: [
      { keys: 'C4 E4 G4', root: 'C', at: '1/1' },
      { keys: 'C#4 E4 A4', root: 'A', at: '5/3' },
      { keys: 'C#4 F#4 A#4', root: 'F#', at: '25/18' },
      { keys: 'D#4 G4 A#4', root: 'D#', at: '125/108' },
    ],
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
    chords: [
      { keys: 'C4 E4 G4 A#4', root: 'C', at: '1/1' },
      { keys: 'C4 D#4 F4 A4', root: 'F', at: '4/3' },
      { keys: 'D4 F4 G4 B4', root: 'G', at: '32/21' },
    ],
  },
  {
    name: 'G7 D♭7 G7, the third tied to become the seventh: a tritonic diesis up',
    limit: 7,
    drift: '50/49',
    chords: [
      { keys: 'G3 B3 D4 F4', root: 'G', at: '1/1', tied: 'F4' },
      { keys: 'G#3 B3 C#4 F4', root: 'C#', at: '10/7', tied: 'B3' },
    ],
  },
  {
    name: 'G7 D♭7 G7, the seventh tied to become the third: a tritonic diesis down',
    limit: 7,
    drift: '49/50',
    chords: [
      { keys: 'G3 B3 D4 F4', root: 'G', at: '1/1', tied: 'B3' },
      { keys: 'G#3 B3 C#4 F4', root: 'C#', at: '7/5', tied: 'F4' },
    ],
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

const FALLING = [
  [60, 64, 67],
  [57, 60, 64],
  [57, 62, 65],
  [55, 62, 67],
  [60, 64, 67],
];

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
