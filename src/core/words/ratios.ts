import {
  divide,
  formatComma,
  formatPlace,
  formatRatio,
  JUST_SCALE,
  type Origin,
  type PrimeVector,
  toKeyClass,
  toKeys,
  toNamePlace,
  withKeys,
} from '../theory/index.js';
import { formatAway } from './drift.js';

/** Longer terms can't be read at a glance. */
const READABLE = /^\d{1,4}\/\d{1,4}$/;

/**
 * A ratio for people: itself, while both its terms have at most four figures; beyond, its key's just ratio, and by how
 * many commas it is away from that. Exact both ways.
 *
 * @example formatRatioOrCommas(ratio('80/81'))  // '80/81'
 * @example formatRatioOrCommas([12, -12, 3, 0, 0, 0])  // '1/1, three commas low'
 */
export function formatRatioOrCommas(v: PrimeVector): string {
  const text = formatRatio(v);
  if (READABLE.test(text)) return text;
  const { base, away } = toAway(v);
  return away === '' ? text : `${formatRatio(base)}, ${away}`;
}

/**
 * A note in words: its letter, and how far it is from its just place on the tonic.
 *
 * @param origin where the name of 1/1 is on the line of fifths: C is 0
 * @example describeNote(ratio('15625/16384'), { fifths: 0 })  // 'C, two dieses low'
 * @example describeNote(ratio('5/4'), { fifths: 0 })  // 'E'
 */
export function describeNote(point: PrimeVector, origin: Origin): string {
  const letter = formatPlace(toNamePlace(point, origin));
  const { away } = toAway(point);
  return away === '' ? letter : `${letter}, ${away}`;
}

/** The just ratio of the key that a ratio spans, octaves included, and how far it is from there. */
function toAway(v: PrimeVector): { base: PrimeVector; away: string } {
  const keys = toKeys(v);
  const base = withKeys(JUST_SCALE[toKeyClass(keys)], keys);
  const comma = formatComma(withKeys(divide(v, base), 0));
  return { base, away: comma === 'none' ? '' : formatAway(comma) };
}
