import fc from 'fast-check';

/**
 * How much of each property's cases is tried: a tenth in `npm test`, all in `npm run test:long`, and
 * `LEEWAY_RUNS=20` tries twenty times as many in either.
 */
const FACTOR = Number(process.env.LEEWAY_RUNS ?? 1);

/** Fewer show too little; a smaller number is tried whole. */
const LEAST = 10;

/** `LEEWAY_SEED=7 npm test` tries other cases; the default ones are the same in every run, so that its outcome is too. */
const SEED = Number(process.env.LEEWAY_SEED ?? 1);

if (!(FACTOR > 0 && Number.isFinite(FACTOR) && Number.isInteger(SEED)))
  throw new Error('LEEWAY_RUNS takes a number above 0, and LEEWAY_SEED a whole number.');

fc.configureGlobal({ seed: SEED, numRuns: times(100) });

/** How many cases of a property are tried, where all are not a hundred. @example times(300) */
export function times(all: number): number {
  return Math.max(Math.min(all, LEAST), Math.ceil(all * FACTOR));
}

/**
 * How often something must have come up among all cases. Among fewer it may never come up, and any number will do.
 * @example expect(compared).toBeGreaterThan(amongAll(80));
 */
export function amongAll(count: number): number {
  return FACTOR < 1 ? -1 : count;
}

type Kinds<T extends unknown[]> = [...{ [K in keyof T]: fc.Arbitrary<T[K]> }];
/** Returns nothing: what doesn't hold is thrown, so a forgotten `expect` around a returned boolean is a type error. */
type Check<T extends unknown[]> = (...values: T) => undefined;

/**
 * A property: tries a check with values of some kinds, a hundred times or as often as is given.
 * @example forAll([fc.nat(11), fc.boolean()], 300, (key, isHeld) => { … });
 */
export function forAll<T extends unknown[]>(kinds: Kinds<T>, check: Check<T>): void;
export function forAll<T extends unknown[]>(kinds: Kinds<T>, all: number, check: Check<T>): void;
export function forAll<T extends unknown[]>(kinds: Kinds<T>, ...rest: [Check<T>] | [number, Check<T>]): void {
  const [all, check] = rest.length === 1 ? [100, rest[0]] : rest;
  fc.assert(
    fc.property(fc.tuple(...kinds), (values) => void check(...(values as T))),
    { numRuns: times(all) },
  );
}
