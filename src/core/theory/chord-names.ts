import { formatPlace, modulo } from './letters.js';
import { type Origin, toNamePlace } from './note-names.js';
import { type PrimeVector, toFifths } from './vector.js';

/** A chord's name: in words, and as a symbol for narrow places. */
export interface ChordName {
  readonly long: string;
  readonly short: string;
}

/** A note of a chord: its key, and its lattice point relative to the origin. */
export interface ChordNote {
  readonly key: number;
  readonly point: PrimeVector;
}

interface ChordType {
  readonly words: string;
  readonly sign: string;
  /** Its notes as places above the root on the line of fifths: 4 is a major third, -3 a minor one. */
  readonly fifths: readonly number[];
  /** The same notes have another name over every other bass. */
  readonly needsRootInBass?: boolean;
}

/** Where two types have the same notes, the first one holds. */
const TYPES: readonly ChordType[] = [
  { words: '', sign: '', fifths: [0, 1, 4] },
  { words: ' minor', sign: 'm', fifths: [0, 1, -3] },
  { words: ' diminished', sign: 'dim', fifths: [0, -3, -6] },
  { words: ' augmented', sign: 'aug', fifths: [0, 4, 8] },
  { words: ' suspended fourth', sign: 'sus4', fifths: [0, 1, -1] },
  { words: ' suspended second', sign: 'sus2', fifths: [0, 1, 2], needsRootInBass: true },
  { words: ' seventh', sign: '7', fifths: [0, 1, 4, -2] },
  { words: ' major seventh', sign: 'maj7', fifths: [0, 1, 4, 5] },
  { words: ' sixth', sign: '6', fifths: [0, 1, 4, 3], needsRootInBass: true },
  { words: ' minor sixth', sign: 'm6', fifths: [0, 1, -3, 3], needsRootInBass: true },
  { words: ' minor seventh', sign: 'm7', fifths: [0, 1, -3, -2] },
  { words: ' half-diminished seventh', sign: 'm7♭5', fifths: [0, -3, -6, -2] },
  { words: ' diminished seventh', sign: 'dim7', fifths: [0, -3, -6, -9] },
  { words: ' minor with major seventh', sign: 'm(maj7)', fifths: [0, 1, -3, 5] },
  { words: ' with added ninth', sign: 'add9', fifths: [0, 1, 4, 2] },
  { words: ' minor with added ninth', sign: 'm(add9)', fifths: [0, 1, -3, 2] },
];

/** One name over each bass, but for these over their own roots. */
const OVER_ROOT_FIRST = TYPES.toSorted(
  (a, b) => Number(b.needsRootInBass ?? false) - Number(a.needsRootInBass ?? false),
);

/**
 * The name of a chord: triads, suspensions, sevenths, sixths, added ninths, and fifths alone, over any of their notes;
 * undefined for all else. Octaves and doubled notes don't matter, and commas don't either. Common practice.
 *
 * The places on the line of fifths tell C E G♯ from C E A♭. Where they fit nothing, as when a tied note kept the letter
 * it had before, the keys decide, with the root in the bass if it may be there.
 *
 * @param notes  in any order
 * @param origin the name of 1/1, as for `noteName`
 * @example
 * const notes = [{ key: 65, point: ratio('4/3') }, { key: 69, point: ratio('5/3') }, { key: 74, point: ratio('9/4') }];
 * nameChord(notes, { fifths: 0 })  // { long: 'D minor over F', short: 'Dm/F' }
 */
export function nameChord(notes: readonly ChordNote[], origin: Origin): ChordName | undefined {
  const sorted = notes.toSorted((a, b) => a.key - b.key);
  const members = sorted.filter(
    ({ key }, i) => sorted.findIndex((other) => modulo(other.key - key, 12) === 0) === i,
  );
  if (members.length === 2) return nameFifth(members, origin);
  const [bass] = members;
  const byFifths = (note: ChordNote, root: ChordNote) => toFifths(note.point) - toFifths(root.point);
  const byKeys = (note: ChordNote, root: ChordNote) => modulo(note.key - root.key, 12);
  for (const [placeOf, toStep] of [
    [byFifths, (fifths: number) => fifths],
    [byKeys, (fifths: number) => modulo(7 * fifths, 12)],
  ] as const) {
    for (const { words, sign, fifths, needsRootInBass = false } of OVER_ROOT_FIRST) {
      if (fifths.length !== members.length) continue;
      const steps = fifths.map(toStep);
      const isOn = (root: ChordNote) => members.every((note) => steps.includes(placeOf(note, root)));
      const root = needsRootInBass ? (isOn(bass) ? bass : undefined) : members.find(isOn);
      if (root !== undefined) return toName(root, bass, words, sign, origin);
    }
  }
  return undefined;
}

function nameFifth(members: readonly ChordNote[], origin: Origin): ChordName | undefined {
  const [bass, upper] = members;
  const keys = modulo(upper.key - bass.key, 12);
  if (keys !== 7 && keys !== 5) return undefined;
  const [root, fifth] = keys === 7 ? [bass, upper] : [upper, bass];
  const over = root === bass ? '' : ` over ${letterOf(bass, origin)}`;
  const long = `open fifth ${letterOf(root, origin)}–${letterOf(fifth, origin)}${over}`;
  return { long, short: toName(root, bass, '', '5', origin).short };
}

function toName(root: ChordNote, bass: ChordNote, words: string, sign: string, origin: Origin): ChordName {
  const [letter, lowest] = [letterOf(root, origin), letterOf(bass, origin)];
  if (root === bass) return { long: letter + words, short: letter + sign };
  return { long: `${letter}${words} over ${lowest}`, short: `${letter}${sign}/${lowest}` };
}

function letterOf({ point }: ChordNote, origin: Origin): string {
  return formatPlace(toNamePlace(point, origin));
}
