import { toHz } from './heard-note.js';

/** A consonance whose beats are counted: how many keys it spans, and the ratio at which it stands still. */
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

/** The ratio of an interval made wider by octaves, in lowest terms. @example widen(BEATING[1], 1)  // 5/2: the major tenth */
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
 * How often an interval beats in a second: the difference between the two lowest partials that would coincide if it were
 * pure.
 *
 * @param upper,lower the pure ratio, upper ÷ lower
 * @see the beat rates that tuners use, as in R. Rasch, Music Perception 1(3), 1984
 * @example toBeats(5300, 5700, 5, 4)  // 6.93 a second: F to A below middle C, in 12 equal
 */
export function toBeats(lowCents: number, highCents: number, upper: number, lower: number): number {
  return Math.abs(lower * toHz(highCents) - upper * toHz(lowCents));
}
