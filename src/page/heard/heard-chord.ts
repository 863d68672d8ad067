import type { NoteFact, Tuning } from '../../core/protocol/index.js';
import {
  describeInterval,
  divide,
  formatRatio,
  noteName,
  type Origin,
  type PrimeVector,
  toDeviationCents,
  toProportion,
  toVector,
} from '../../core/theory/index.js';
import { formatRatioOrCommas } from '../../core/words/index.js';

/** A sounding note as it is in the heard tuning. */
export interface HeardNote {
  readonly id: number;
  readonly key: number;
  readonly presence: NoteFact['presence'];
  readonly isFixed: boolean;
  /** With its octave, and in pure tunings its comma mark: "E4⁻¹"; in 12 equal "E4". */
  readonly name: string;
  readonly point: PrimeVector;
  /** Its ratio to the lowest note, and to the tonic of home; empty in 12 equal. */
  readonly toBass: string;
  readonly toHome: string;
  /** On the scale of MIDI keys, and how far from 12 equal. */
  readonly cents: number;
  readonly fromEqual: number;
  /** Channel and bend it is sent with; null where another tuning is sent. */
  readonly channel: number | null;
  readonly bend: number | null;
  /** Why it has its ratio; undefined where that is not known. */
  readonly by: NoteFact['by'] | undefined;
}

/** The interval between two neighbouring notes of a chord. */
export interface HeardStep {
  /** "5/4", or in 12 equal empty. */
  readonly ratio: string;
  /** "just major third"; in 12 equal how far it is from that: "13.7 cents wider than 5/4". */
  readonly words: string;
}

/** The raised figures that count commas and dieses, and lowered primes. */
const MARKS = /[ᵈ⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻₀₁₂₃₄₅₆₇₈₉]+$/;

/**
 * The sounding notes in the heard tuning, from the lowest up.
 *
 * @param sent   the tuning that goes to MIDI: names, ratios and reasons of the feed are its own
 * @param origin the name of 1/1
 */
export function toHeardNotes(
  notes: readonly NoteFact[],
  heard: Tuning,
  sent: Tuning,
  origin: Origin,
): HeardNote[] {
  const strategy = heard === 'equal' ? undefined : heard;
  const points = notes.map((note) =>
    toVector((strategy !== undefined && note.elsewhere?.[strategy]) || note.point),
  );
  return notes.map((note, i) => {
    const isOther = strategy !== undefined && note.elsewhere?.[strategy] !== undefined;
    const { id, key, presence, isFixed } = note;
    const isSent = heard === sent;
    const name = isOther ? noteName(points[i], origin, { key }) : note.name;
    return {
      id,
      key,
      presence,
      isFixed,
      name: strategy === undefined ? toPlainName(name) : name,
      point: points[i],
      toBass:
        strategy === undefined
          ? ''
          : isOther
            ? formatRatioOrCommas(divide(points[i], points[0]))
            : note.toBass,
      toHome: strategy === undefined ? '' : note.toHome,
      cents: note.cents[heard],
      fromEqual: note.cents[heard] - note.cents.equal,
      channel: isSent ? note.channel : null,
      bend: isSent ? note.bend : null,
      by: isOther || strategy === undefined ? undefined : note.by,
    };
  });
}

/** A note's name without its comma mark. @example toPlainName('E4⁻¹')  // 'E4' */
export function toPlainName(name: string): string {
  return name.replace(MARKS, '');
}

/** The whole-number proportion of a chord, as "4:5:6"; in 12 equal there is none, and one note has none. */
export function toHeardProportion(notes: readonly HeardNote[], heard: Tuning): string {
  if (heard === 'equal' || notes.length < 2) return '';
  return toProportion(notes.map((note) => note.point)) ?? '';
}

/** The interval from one note up to the next one. */
export function toHeardStep(below: HeardNote, above: HeardNote, heard: Tuning): HeardStep {
  const interval = divide(above.point, below.point);
  const ratio = formatRatio(interval);
  if (heard !== 'equal') return { ratio, words: describeInterval(interval) };
  const off = -toDeviationCents(interval);
  if (Math.abs(off) < 0.05) return { ratio: '', words: `pure: ${ratio}` };
  return {
    ratio: '',
    words: `${Math.abs(off).toFixed(1)} cents ${off < 0 ? 'narrower' : 'wider'} than ${ratio}`,
  };
}
