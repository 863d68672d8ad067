import fc from 'fast-check';

/** `LEEWAY_RUNS=20 npm test` tries every property so many times as often. */
const FACTOR = Number(process.env.LEEWAY_RUNS ?? 1);

/** `LEEWAY_SEED=7 npm test` tries other cases; the stock ones are the same in every run, so that its outcome is too. */
const SEED = Number(process.env.LEEWAY_SEED ?? 1);

if (!(Number.isInteger(FACTOR) && FACTOR > 0 && Number.isInteger(SEED)))
  throw new Error('LEEWAY_RUNS takes a whole number above 0, and LEEWAY_SEED a whole number.');

fc.configureGlobal({ seed: SEED, numRuns: times(100) });

/** How many cases of a property are tried, where its stock is not a hundred. @example times(300) */
export function times(stock: number): number {
  return stock * FACTOR;
}
