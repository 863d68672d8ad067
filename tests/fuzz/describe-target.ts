import { describe, expect, test } from 'vitest';
import { type Catch, hunt } from './hunt.js';
import { readSeeds, type Seed, writeSeeds } from './seeds.js';
import { shrink } from './shrink.js';
import { parseHexText, type Target, toHexText } from './target.js';
import { Watchdog } from './watchdog.js';

/** Cases in all targets together; `npm run fuzz` runs a million. */
const CASES = Number(process.env.LEEWAY_FUZZ_CASES ?? 6000);
const SEED = Number(process.env.LEEWAY_FUZZ_SEED ?? 1);
/** Whether all cases are this target's. */
const IS_ALONE = process.env.LEEWAY_FUZZ_ALONE !== undefined;
/** Runs this case alone, or this input. */
const ONE_CASE = process.env.LEEWAY_FUZZ_CASE;
const ONE_INPUT = process.env.LEEWAY_FUZZ_INPUT;
/** Whether what is found, new or failing, is written into the seeds. */
const KEEPS = process.env.LEEWAY_FUZZ_KEEP !== undefined;
/** Inputs longer than this aren't kept: the seeds are to stay small. */
const LONGEST_KEPT = 600;
const MOST_KEPT = 120;
/** Tries to make a kept input small. */
const KEPT_TRIES = 300;

/** The tests of a target: what is kept is run again, then cases are. */
export function describeTarget(target: Target): void {
  describe(target.name, () => {
    if (ONE_INPUT !== undefined) {
      test('the input asked for', () => {
        console.log(target.check(parseHexText(ONE_INPUT)));
      });
      return;
    }
    const kept = readSeeds(target.name, 'kept');
    const failed = readSeeds(target.name, 'failed');

    test('all that was kept, and all that ever failed, holds', () => {
      for (const { input } of [...kept, ...failed]) {
        expect(() => target.check(input), toHexText(input)).not.toThrow();
      }
    });

    const from = ONE_CASE === undefined ? 0 : Number(ONE_CASE);
    const share = IS_ALONE ? 1 : target.share / 1000;
    const cases = ONE_CASE === undefined ? Math.ceil(CASES * share) : 1;
    test(`${cases} cases with seed ${SEED}`, async () => {
      const dog = new Watchdog(target.name, SEED);
      const start = performance.now();
      const inputs = [...kept, ...failed].map(({ input }) => input);
      const caught = hunt(target, inputs, SEED, from, cases, (number, input) => dog.begin(number, input));
      await dog.end();
      if (CASES > 100_000) report(target, caught, performance.now() - start);
      if (KEEPS) keep(target, kept, failed, caught);
      if (caught.failure !== undefined)
        throw new Error(describeFailure(target, caught), { cause: caught.failure.error });
    }, 3_600_000);
  });
}

function report({ name }: Target, { cases, found }: Catch, ms: number): void {
  console.log(`${name}: ${cases} cases, ${found.size} new ways, ${(ms / 1000).toFixed(1)} s`);
}

function describeFailure({ name }: Target, { failure }: Catch): string {
  if (failure === undefined) return '';
  const { caseNumber, input, shrunk, error } = failure;
  return [
    `Case ${caseNumber} with seed ${SEED} of ${name}: ${String(error)}`,
    `Again: npm run fuzz -- --only ${name} --seed ${SEED} --case ${caseNumber}`,
    `Shrunk from ${input.length} bytes to ${shrunk.length}: npm run fuzz -- --only ${name} --input ${toHexText(shrunk)}`,
  ].join('\n');
}

/** Writes down what is new, as small as it can be and still be new in its way. */
function keep(
  target: Target,
  kept: readonly Seed[],
  failed: readonly Seed[],
  { found, failure }: Catch,
): void {
  const fresh = [...found]
    .slice(0, MOST_KEPT)
    .map(([note, input]) => ({
      note,
      input: shrink(input, (smaller) => does(target, smaller, note), KEPT_TRIES),
    }))
    .filter(({ input }) => input.length <= LONGEST_KEPT)
    .sort((a, b) => a.input.length - b.input.length);
  writeSeeds(target.name, 'kept', [...kept, ...fresh].slice(0, MOST_KEPT));
  if (failure === undefined) return;
  const note = String(failure.error).slice(0, 120);
  writeSeeds(target.name, 'failed', [...failed, { input: failure.shrunk, note }]);
}

function does(target: Target, input: Uint8Array, what: string): boolean {
  try {
    return target.check(input) === what;
  } catch {
    return false;
  }
}
