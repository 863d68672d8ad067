import { formatPlace, type PrimeVector, ratio } from '../../theory/index.js';

/** What a chord is: a major triad 4:5:6, a minor triad 10:12:15, or a seventh chord 4:5:6:7. */
export type Quality = 'major' | 'minor' | 'seventh';

/** One note of a chord: its ratio to the root, and its keys above it. */
export interface ChordMember {
  readonly name: 'root' | 'third' | 'fifth' | 'seventh';
  readonly ratio: PrimeVector;
  readonly keys: number;
}

/** A chord of a pump: where its root is on the line of fifths (C 0, G 1), which gives its name and its key. */
export interface PumpChord {
  readonly fifths: number;
  readonly quality: Quality;
}

const ROOT: ChordMember = { name: 'root', ratio: ratio('1/1'), keys: 0 };
const MAJOR_THIRD: ChordMember = { name: 'third', ratio: ratio('5/4'), keys: 4 };
const MINOR_THIRD: ChordMember = { name: 'third', ratio: ratio('6/5'), keys: 3 };
const FIFTH: ChordMember = { name: 'fifth', ratio: ratio('3/2'), keys: 7 };
const SEVENTH: ChordMember = { name: 'seventh', ratio: ratio('7/4'), keys: 10 };

const MEMBERS: Readonly<Record<Quality, readonly ChordMember[]>> = {
  major: [ROOT, MAJOR_THIRD, FIFTH],
  minor: [ROOT, MINOR_THIRD, FIFTH],
  seventh: [ROOT, MAJOR_THIRD, FIFTH, SEVENTH],
};

const SUFFIX: Readonly<Record<Quality, string>> = { major: '', minor: 'm', seventh: '7' };

/** The notes of a chord, from its root up. Ratios are over the root: 4:5:6, 10:12:15 or 4:5:6:7. */
export function toMembers(quality: Quality): readonly ChordMember[] {
  return MEMBERS[quality];
}

/**
 * The key class 0..11 of a place on the line of fifths.
 *
 * @param fifths a whole number of any size: C is 0, G 1
 * @example toKeyClass(-1)  // 5: F
 */
export function toKeyClass(fifths: number): number {
  return (((7 * fifths) % 12) + 12) % 12;
}

/** The note of a chord on a key class, if it has one. */
export function findMember({ fifths, quality }: PumpChord, keyClass: number): ChordMember | undefined {
  return toMembers(quality).find((member) => (toKeyClass(fifths) + member.keys) % 12 === keyClass);
}

/**
 * The name of a chord. Sharps and flats as `formatPlace` writes them.
 * @example formatChord({ fifths: 3, quality: 'minor' })  // 'Am'
 */
export function formatChord({ fifths, quality }: PumpChord): string {
  return formatPlace(fifths) + SUFFIX[quality];
}
