import { COMMAS } from './commas.js';
import { formatRatio, type NamedRatio, toNamedRatios } from './ratio.js';
import { equal, invert, type PrimeVector, sameClass, toCents, UNISON } from './vector.js';

/**
 * Intervals within the octave that have a traditional name, by size. Smaller ones are in `COMMAS`.
 *
 * The names are those of the handbooks (Helmholtz in Ellis' translation, On the Sensations of Tone, 1885; Partch,
 * Genesis of a Music, 1949): *just* is the plain 5-limit interval, *grave* and *acute* (Ellis) are a syntonic comma
 * under and over it, *Pythagorean* comes from pure fifths alone, *septimal*, *undecimal* and
 * *tridecimal* from primes 7, 11 and 13. Where books differ, the name that agrees with the letters a reader
 * sees was taken (11/7 is an augmented fifth up the line of fifths). 13/11 and 22/13 are the exceptions: they have
 * their usual names of minor third and major sixth.
 */
export const INTERVALS: readonly NamedRatio[] = toNamedRatios([
  ['21/20', 'septimal minor semitone'],
  ['16/15', 'just diatonic semitone'],
  ['15/14', 'septimal diatonic semitone'],
  ['14/13', 'lesser tridecimal two-thirds tone'],
  ['13/12', 'greater tridecimal two-thirds tone'],
  ['12/11', 'lesser undecimal neutral second'],
  ['800/729', 'grave minor tone'],
  ['11/10', 'greater undecimal neutral second'],
  ['10/9', 'minor tone'],
  ['9/8', 'major tone'],
  ['256/225', 'just diminished third'],
  ['8/7', 'septimal whole tone'],
  ['15/13', 'tridecimal five-quarter tone'],
  ['125/108', 'grave augmented second'],
  ['7/6', 'septimal minor third'],
  ['75/64', 'just augmented second'],
  ['13/11', 'tridecimal minor third'],
  ['32/27', 'Pythagorean minor third'],
  ['6/5', 'just minor third'],
  ['243/200', 'acute minor third'],
  ['11/9', 'undecimal neutral third'],
  ['16/13', 'tridecimal neutral third'],
  ['100/81', 'grave major third'],
  ['5/4', 'just major third'],
  ['81/64', 'Pythagorean major third'],
  ['14/11', 'undecimal diminished fourth'],
  ['32/25', 'just diminished fourth'],
  ['9/7', 'septimal major third'],
  ['13/10', 'tridecimal diminished fourth'],
  ['21/16', 'septimal narrow fourth'],
  ['4/3', 'just fourth'],
  ['27/20', 'acute fourth'],
  ['11/8', 'undecimal augmented fourth'],
  ['18/13', 'tridecimal augmented fourth'],
  ['25/18', 'grave augmented fourth'],
  ['7/5', 'lesser septimal tritone'],
  ['1024/729', 'Pythagorean diminished fifth'],
  ['45/32', 'just augmented fourth'],
  ['64/45', 'just diminished fifth'],
  ['729/512', 'Pythagorean augmented fourth'],
  ['10/7', 'greater septimal tritone'],
  ['36/25', 'acute diminished fifth'],
  ['13/9', 'tridecimal diminished fifth'],
  ['16/11', 'undecimal diminished fifth'],
  ['40/27', 'grave fifth'],
  ['3/2', 'just fifth'],
  ['32/21', 'septimal wide fifth'],
  ['20/13', 'tridecimal augmented fifth'],
  ['14/9', 'septimal minor sixth'],
  ['25/16', 'just augmented fifth'],
  ['11/7', 'undecimal augmented fifth'],
  ['128/81', 'Pythagorean minor sixth'],
  ['8/5', 'just minor sixth'],
  ['81/50', 'acute minor sixth'],
  ['13/8', 'tridecimal neutral sixth'],
  ['18/11', 'undecimal neutral sixth'],
  ['400/243', 'grave major sixth'],
  ['5/3', 'just major sixth'],
  ['27/16', 'Pythagorean major sixth'],
  ['22/13', 'tridecimal major sixth'],
  ['128/75', 'just diminished seventh'],
  ['12/7', 'septimal major sixth'],
  ['125/72', 'grave augmented sixth'],
  ['7/4', 'harmonic seventh'],
  ['225/128', 'just augmented sixth'],
  ['16/9', 'Pythagorean minor seventh'],
  ['9/5', 'just minor seventh'],
  ['20/11', 'undecimal minor seventh'],
  ['11/6', 'undecimal neutral seventh'],
  ['50/27', 'grave major seventh'],
  ['15/8', 'just major seventh'],
  ['243/128', 'Pythagorean major seventh'],
  ['40/21', 'septimal major seventh'],
  ['48/25', 'just diminished octave'],
]);

const byOddPart = new Map<string, NamedRatio>();
for (const named of [...COMMAS, ...INTERVALS]) byOddPart.set(oddPart(named.ratio), named);

/**
 * The traditional name of an interval's size, without article and in either direction, or undefined if it has none.
 * Wider than an octave: "octave and a just fifth". The complement of a named one, if unnamed itself: "octave less a
 * syntonic comma". Exact: a ratio a cent off a named one has no name.
 *
 * @example intervalName([-2, 0, 1, 0, 0, 0])  // 'just major third': 5/4, and 4/5 gives the same
 * @example intervalName([0, 1, 0, 0, 0, 0])   // 'octave and a just fifth': 3/1
 */
export function intervalName(v: PrimeVector): string | undefined {
  return nameUpward(v) ?? nameUpward(invert(v));
}

/**
 * An interval's size in words for any vector: its name, or "ratio 135/121" without one (the ratio above 1/1, so the
 * same for both directions).
 *
 * @example describeInterval([1, 1, 0, 0, 0, 0])    // 'two octaves and a just fifth': 6/1
 * @example describeInterval([0, 3, 1, 0, -2, 0])   // 'ratio 135/121'
 */
export function describeInterval(v: PrimeVector): string {
  return intervalName(v) ?? `ratio ${formatRatio(toCents(v) < 0 ? invert(v) : v)}`;
}

/**
 * An interval with article and direction, to be followed by the name of the note it is counted from.
 *
 * @example placeInterval([2, 0, -1, 0, 0, 0])   // 'a just major third below': 4/5
 * @example placeInterval([0, 0, 0, 0, 0, 0])    // 'a unison with'
 * @example placeInterval([0, 3, 1, 0, -2, 0])   // 'the ratio 135/121 above'
 */
export function placeInterval(v: PrimeVector): string {
  if (equal(v, UNISON)) return 'a unison with';
  const direction = toCents(v) < 0 ? 'below' : 'above';
  const name = intervalName(v);
  if (name === undefined) return `the ${describeInterval(v)} ${direction}`;
  return `${/^\S+ octaves/.test(name) ? name : withArticle(name)} ${direction}`;
}

/** The name if `v` is 1/1 or wider. Whole numbers decide that: every named ratio is between 1/1 and 2/1. */
function nameUpward(v: PrimeVector): string | undefined {
  if (sameClass(v, UNISON)) return v[0] < 0 ? undefined : v[0] === 0 ? 'unison' : countOctaves(v[0]);
  const named = byOddPart.get(oddPart(v));
  if (named) {
    const octaves = v[0] - named.ratio[0];
    if (octaves < 0) return undefined;
    return octaves === 0 ? named.name : `${countOctaves(octaves)} and ${withArticle(named.name)}`;
  }
  const complement = byOddPart.get(oddPart(invert(v)));
  if (!complement) return undefined;
  const octaves = v[0] + complement.ratio[0];
  return octaves < 1 ? undefined : `${countOctaves(octaves)} less ${withArticle(complement.name)}`;
}

const NUMBERS = ['', '', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];

function countOctaves(octaves: number): string {
  return octaves === 1 ? 'octave' : `${NUMBERS[octaves] ?? octaves} octaves`;
}

function withArticle(name: string): string {
  return `${/^[aeiou]/.test(name) ? 'an' : 'a'} ${name}`;
}

function oddPart(v: PrimeVector): string {
  return `${v[1]} ${v[2]} ${v[3]} ${v[4]} ${v[5]}`;
}
