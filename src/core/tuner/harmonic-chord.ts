import {
  divide,
  multiply,
  type PrimeLimit,
  type PrimeVector,
  sameClass,
  toIntervalClass,
  toKeyClass,
} from '../theory/index.js';
import type { SoundingNote } from './note.js';

/** The fields of a note that are read. */
export type ChordNote = Pick<SoundingNote, 'keyClass' | 'settled' | 'point' | 'harmonic'>;

/** Moves notes of a chord. */
export interface ChordMover<N> {
  /** Adds primes above 5: its place in primes 3 and 5 is unchanged. */
  readonly inflect: (note: N, point: PrimeVector) => void;
  /** In primes 3 and 5. */
  readonly place: (note: N, point: PrimeVector) => void;
}

/** Members of the harmonic chord 4:5:6:7:9:11:13 as keys above its root and as ratios to it, octaves left out. */
const THIRD: PrimeVector = [0, 0, 1, 0, 0, 0];
const FIFTH: PrimeVector = [0, 1, 0, 0, 0, 0];
const NINTH: PrimeVector = [0, 2, 0, 0, 0, 0];
const SEVENTH: PrimeVector = [0, 0, 0, 1, 0, 0];
const ELEVENTH: PrimeVector = [0, 0, 0, 0, 1, 0];
const THIRTEENTH: PrimeVector = [0, 0, 0, 0, 0, 1];

/** Degrees of the chord up to its ninth, in keys above its root. */
export const HARMONIC_DEGREES: ReadonlySet<number> = new Set([0, 2, 4, 7, 10]);

/** The eleventh and thirteenth enter over a whole seventh chord only: root, third, fifth and seventh. */
const MEMBERS_BELOW_ELEVENTH = [0, 4, 7, 10];

/** Interval classes that bind a note outside the chord to its seventh: thirds, fourths and their inversions. */
const LEANING_CLASSES = new Set([3, 4, 5]);

/**
 * Gives the seventh of a chord its pure size, 7/4, and with higher limits the eleventh and thirteenth theirs.
 *
 * Prime 7 never enters by the pair: judged alone, 8/7 is simpler than 9/8 and every whole tone would become one. It
 * enters by a chord: a third and a seventh form their tritone (5:7), and the root or the fifth (4 or 6) completes it.
 * Such are dominant sevenths and ninths, diminished triads (5:6:7) and half-diminished sevenths (5:6:7:9). The chord is
 * placed in primes 3 and 5 first; then only its seventh moves, from 16/9 or 9/5 to 7/4, so 64/63 doesn't shift the key.
 * Memory stores the seventh's place in primes 3 and 5, so a later plain chord is placed as without it.
 *
 * A seventh that is tied over can't move. The new notes move to meet it, by 64/63 or so, if it sounds in a harmonic
 * chord already or if nothing else has been heard. After a plain chord they stay, and the seventh stays 16/9. A note
 * outside the chord that makes a third or a fourth with the seventh keeps it plain too: a pure seventh would cost a
 * pure third.
 *
 * A new fifth or ninth may have been placed a comma off its root, to be pure to the seventh in primes 3 and 5. It is
 * not pure to the pure seventh, so it returns to its root, unless a note outside the chord binds it.
 *
 * @param limit 7 or more: below that there is nothing to do
 * @param sounding everything that can be heard; unsettled notes are at their frames
 * @param isAloneInMemory whether nothing but the sounding notes has been heard lately; called seldom
 */
export function inflectHarmonicChord<N extends ChordNote>(
  sounding: readonly N[],
  limit: PrimeLimit,
  isAloneInMemory: () => boolean,
  mover: ChordMover<N>,
): void {
  const heard = toBits(sounding);
  let classes: Classes<N> | undefined;
  for (let root = 0; root < 12; root++) {
    if (!mayBeRoot(heard, root)) continue;
    classes ??= groupByClass(sounding);
    const base = findRoot(classes, root);
    if (base !== undefined) inflectOn(base, root, classes, sounding, limit, isAloneInMemory, mover);
  }
}

/**
 * Key classes that a harmonic chord will inflect, by the keys alone: unsettled sevenths. They are placed after the rest
 * of their chord, so that a seventh's plain size doesn't decide where the chord goes.
 */
export function findSevenths(sounding: readonly SoundingNote[], limit: PrimeLimit): readonly number[] {
  if (limit < 7) return NO_SEVENTHS;
  const heard = toBits(sounding);
  let classes: Classes<SoundingNote> | undefined;
  let sevenths = NO_SEVENTHS;
  for (let root = 0; root < 12; root++) {
    if (!mayBeRoot(heard, root)) continue;
    classes ??= groupByClass(sounding);
    const [seventh] = classes[toKeyClass(root + 10)];
    if (!seventh.settled && !isLeantOn(root, classes, seventh, false))
      sevenths = [...sevenths, seventh.keyClass];
  }
  return sevenths;
}

const NO_SEVENTHS: readonly number[] = [];

/** The key classes of some notes, a bit each; those below a root once more, an octave up. */
function toBits(notes: readonly ChordNote[]): number {
  let bits = 0;
  for (const { keyClass } of notes) bits |= 1 << keyClass;
  return bits | (bits << 12);
}

/** Whether a third and a seventh are above a root, and the root itself or the fifth. Rarely true, so it comes first. */
function mayBeRoot(heard: number, root: number): boolean {
  const above = heard >> root;
  return (above & THIRD_AND_SEVENTH) === THIRD_AND_SEVENTH && (above & ROOT_OR_FIFTH) !== 0;
}

const THIRD_AND_SEVENTH = (1 << 4) | (1 << 10);
const ROOT_OR_FIFTH = (1 << 0) | (1 << 7);

/** The chord's root point, if third, seventh and at least root or fifth are there and agree. */
function findRoot(classes: Classes<ChordNote>, root: number): PrimeVector | undefined {
  const third = pointOf(classes, root + 4);
  if (third === undefined || classes[toKeyClass(root + 10)].length === 0) return undefined;
  const base = divide(third, THIRD);
  const rootPoint = pointOf(classes, root);
  const fifth = pointOf(classes, root + 7);
  const completed =
    (rootPoint !== undefined && sameClass(rootPoint, base)) ||
    (fifth !== undefined && sameClass(fifth, multiply(base, FIFTH)));
  return completed ? base : undefined;
}

function inflectOn<N extends ChordNote>(
  base: PrimeVector,
  root: number,
  classes: Classes<N>,
  sounding: readonly N[],
  limit: PrimeLimit,
  isAloneInMemory: () => boolean,
  mover: ChordMover<N>,
): void {
  const sevenths = classes[toKeyClass(root + 10)];
  const pure = multiply(base, SEVENTH);
  const full =
    limit >= 11 && MEMBERS_BELOW_ELEVENTH.every((degree) => classes[toKeyClass(root + degree)].length > 0);
  if (isLeantOn(root, classes, sevenths[0], full)) return;

  const tied = sevenths.find((note) => note.settled);
  const meets = tied === undefined || sameClass(tied.point, pure);
  if (!meets) {
    const free = sounding.every((note) => !note.settled || note.keyClass === tied.keyClass);
    if (!free || !(tied.harmonic || isAloneInMemory())) return;
  }
  if (isByItself(root, classes)) {
    placeFree(classes[toKeyClass(root + 7)], multiply(base, FIFTH), mover);
    placeFree(classes[toKeyClass(root + 2)], multiply(base, NINTH), mover);
  }
  if (tied === undefined) {
    for (const note of sevenths) mover.inflect(note, pure);
  } else if (!meets) {
    const shift = divide(tied.point, pure);
    for (const note of sounding) {
      if (!note.settled)
        mover.inflect(note, note.keyClass === tied.keyClass ? tied.point : multiply(note.point, shift));
    }
    base = multiply(base, shift);
  }
  for (const note of sounding) {
    if (isMember(note, root, base)) note.harmonic = true;
  }
  if (full) placeUpper(classes[toKeyClass(root + 6)], multiply(base, ELEVENTH), mover);
  if (full && limit >= 13) placeUpper(classes[toKeyClass(root + 8)], multiply(base, THIRTEENTH), mover);
}

function placeUpper<N extends ChordNote>(
  notes: readonly N[],
  point: PrimeVector,
  mover: ChordMover<N>,
): void {
  for (const note of notes) {
    if (note.settled) continue;
    mover.inflect(note, point);
    note.harmonic = true;
  }
}

/** Places a key class without tied notes: its doubles stay together. */
function placeFree<N extends ChordNote>(notes: readonly N[], point: PrimeVector, mover: ChordMover<N>): void {
  if (notes.some((note) => note.settled)) return;
  for (const note of notes) if (!sameClass(note.point, point)) mover.place(note, point);
}

/** Whether nothing sounds but root, ninth, third, fifth and seventh. */
function isByItself(root: number, classes: Classes<ChordNote>): boolean {
  return classes.every(
    (notes, keyClass) => notes.length === 0 || HARMONIC_DEGREES.has(toKeyClass(keyClass - root)),
  );
}

/** Whether a note outside the chord makes a third, a fourth or their inversions with the seventh. */
function isLeantOn(root: number, classes: Classes<ChordNote>, seventh: ChordNote, full: boolean): boolean {
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const degree = toKeyClass(keyClass - root);
    if (HARMONIC_DEGREES.has(degree)) continue;
    if (full && degree === 6) continue;
    if (classes[keyClass].length === 0) continue;
    if (LEANING_CLASSES.has(toIntervalClass(keyClass - seventh.keyClass))) return true;
  }
  return false;
}

function isMember(note: ChordNote, root: number, base: PrimeVector): boolean {
  const ratio = divide(note.point, base);
  switch (toKeyClass(note.keyClass - root)) {
    case 0:
      return sameClass(note.point, base);
    case 2:
      return sameClass(ratio, NINTH);
    case 4:
      return sameClass(ratio, THIRD);
    case 7:
      return sameClass(ratio, FIFTH);
    case 10:
      return sameClass(ratio, SEVENTH);
    default:
      return false;
  }
}

type Classes<N> = readonly (readonly N[])[];

function groupByClass<N extends ChordNote>(sounding: readonly N[]): Classes<N> {
  const classes: N[][] = Array.from({ length: 12 }, () => []);
  for (const note of sounding) classes[note.keyClass].push(note);
  return classes;
}

/** The one point of a key class; undefined where it is silent or has two. */
function pointOf(classes: Classes<ChordNote>, keyClass: number): PrimeVector | undefined {
  const notes = classes[toKeyClass(keyClass)];
  if (notes.length === 0) return undefined;
  const { point } = notes[0];
  return notes.every((note) => sameClass(note.point, point)) ? point : undefined;
}
