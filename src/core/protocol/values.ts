import * as v from 'valibot';
import { STRATEGIES, type Strategy } from '../strategy.js';
import { type FeedRange, LIMITS } from './limits.js';

/** The strategies; all of them run side by side on the same notes. */
export const StrategySchema = v.picklist(STRATEGIES);

/** A whole number from `least` to `most`. */
export const whole = (least: number, most: number) =>
  v.pipe(v.number(), v.integer(), v.minValue(least), v.maxValue(most));

/** Any finite number within a range. */
export const within = ({ least, most }: FeedRange) =>
  v.pipe(v.number(), v.finite(), v.minValue(least), v.maxValue(most));

/** Cents, signed. */
export const CentsSchema = within({ least: -LIMITS.cents, most: LIMITS.cents });

/** A sum without sign. */
export const AmountSchema = within({ least: 0, most: LIMITS.count });

/** How many. */
export const CountSchema = whole(0, LIMITS.count);

/** Milliseconds on the session's clock, which starts at 0 with the program; what was played in advance is before it. */
export const TimeSchema = within({ least: -LIMITS.ms, most: LIMITS.ms });

export const KeySchema = whole(0, 127);

/** A line of text for people. */
export const TextSchema = v.pipe(v.string(), v.maxLength(LIMITS.text));

/** The name of a piece, a port or a file. */
export const NameSchema = v.pipe(v.string(), v.minLength(1), v.maxLength(LIMITS.name));

/** A list with a bound. */
export const listOf = <T extends v.GenericSchema>(item: T, most: number) =>
  v.pipe(v.array(item), v.maxLength(most));

const ExponentSchema = whole(-LIMITS.exponent, LIMITS.exponent);

/** A lattice point: exponents of 2 3 5 7 11 13. */
export const PointSchema = v.strictTuple([
  ExponentSchema,
  ExponentSchema,
  ExponentSchema,
  ExponentSchema,
  ExponentSchema,
  ExponentSchema,
]);

/** Something made once for each strategy. @example forStrategies(() => 0).pull  // 0 */
export function forStrategies<T>(make: (strategy: Strategy) => T): Record<Strategy, T> {
  return { free: make('free'), pull: make('pull'), anchored: make('anchored'), temper: make('temper') };
}

/** The same fact once for each strategy. */
export const perStrategy = <T extends v.GenericSchema>(fact: T) =>
  v.object({ free: fact, pull: fact, anchored: fact, temper: fact });
