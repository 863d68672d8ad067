import { toHertz } from '../../theory/index.js';

/** A consonance whose beats are counted: how many keys it spans, and the ratio at which it doesn't beat. */
export interface BeatingInterval {
  readonly name: 'minor third' | 'major third' | 'fifth';
  readonly keys: number;
  readonly upper: number;
  readonly lower: number;
}

/** The intervals on which tuners count beats. */
export const BEATING: readonly BeatingInterval[] = [
  { name: 'minor third', keys: 3, upper: 6, lower: 5 },
  { name: 'major third', keys: 4, upper: 5, lower: 4 },
  { name: 'fifth', keys: 7, upper: 3, lower: 2 },
];

/**
 * The ratio of an interval made wider by octaves, in lowest terms.
 * @example widen(BEATING[1], 1)  // { upper: 5, lower: 2, … }: the major tenth
 */
export function widen(
  { upper, lower }: Pick<BeatingInterval, 'upper' | 'lower'>,
  octaves: number,
): { upper: number; lower: number } {
  let [above, below] = [upper, lower];
  for (let i = 0; i < octaves; i++) {
    if (below % 2 === 0) below /= 2;
    else above *= 2;
  }
  return { upper: above, lower: below };
}

/**
 * Beats a second of an interval: the difference between the two lowest partials that would coincide if it were pure.
 *
 * @param upper,lower the pure ratio, upper ÷ lower
 * @see the beat rates that tuners use, as in R. Rasch, Music Perception 1(3), 1984
 * @example toBeats(5300, 5700, 5, 4)  // 6.93, a second: F to A below middle C, in 12 equal
 */
export function toBeats(lowCents: number, highCents: number, upper: number, lower: number): number {
  return Math.abs(lower * toHertz(highCents) - upper * toHertz(lowCents));
}

/** One sine of a sound. */
export interface Partial {
  readonly hz: number;
  readonly amplitude: number;
}

// The dissonance curve of two pure tones, as W. A. Sethares fitted it to the data of Plomp and Levelt.
const FALL = 3.51;
const RISE = 5.75;
const STRENGTH = 5;
const SCALE = 0.24;
const SLOPE = 0.0207;
const OFFSET = 18.96;
/** Partials more of these widths apart don't matter: less than a millionth. */
const FAR = 5;

/**
 * The roughness of two partials: none at the same pitch, most at about a quarter of a critical band, none far apart.
 * The quieter of the two counts.
 *
 * @see W. A. Sethares, "Local consonance and the relationship between timbre and scale", JASA 94(3), 1993; the constants
 *   and the quieter amplitude as in his later published program
 * @example toPairRoughness({ hz: 440, amplitude: 1 }, { hz: 465.77, amplitude: 1 })  // 0.8988, the most there is at 440 Hz
 */
export function toPairRoughness(a: Partial, b: Partial): number {
  const apart = (SCALE / (SLOPE * Math.min(a.hz, b.hz) + OFFSET)) * Math.abs(a.hz - b.hz);
  if (apart > FAR) return 0;
  const curve = STRENGTH * (Math.exp(-FALL * apart) - Math.exp(-RISE * apart));
  return Math.min(a.amplitude, b.amplitude) * curve;
}

/** The roughness of a sound: the sum over all pairs of its partials. */
export function toRoughness(partials: readonly Partial[]): number {
  let sum = 0;
  for (let i = 0; i < partials.length; i++) {
    for (let j = i + 1; j < partials.length; j++) sum += toPairRoughness(partials[i], partials[j]);
  }
  return sum;
}

/** How many partials a tone is assumed to have, the n-th at 1/n of the first. */
const PARTIALS = 6;

/** The partials of tones at the given pitches. @example toPartials([6900])[1]  // { hz: 880, amplitude: 0.5 } */
export function toPartials(cents: readonly number[]): Partial[] {
  return cents.flatMap((pitch) => {
    const hz = toHertz(pitch);
    return Array.from({ length: PARTIALS }, (_, i) => ({ hz: (i + 1) * hz, amplitude: 1 / (i + 1) }));
  });
}
