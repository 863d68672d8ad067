import { Random, toSeed } from './random.js';
import { shrink } from './shrink.js';
import type { Target } from './target.js';

/** So many cases share what they have found; the next block begins with the kept inputs alone, so that any case can be had again quickly. */
export const BLOCK = 1000;

/** A case of which something doesn't hold. */
export interface Failure {
  readonly caseNumber: number;
  readonly input: Uint8Array;
  /** The smallest one found that fails alike. */
  readonly shrunk: Uint8Array;
  readonly error: unknown;
}

/** What came of some cases. */
export interface Catch {
  readonly cases: number;
  readonly failure: Failure | undefined;
  /** Inputs that did what no kept one does, by what they did. */
  readonly found: ReadonlyMap<string, Uint8Array>;
}

/** EventLine which case is about to run, so that somebody else can say so should it never come back. */
export type CaseWatch = (caseNumber: number, input: Uint8Array) => void;

/**
 * Runs cases until one fails. The same target, kept inputs, seed and numbers give the same cases.
 *
 * @param kept of which each is known to hold
 */
export function hunt(
  target: Target,
  kept: readonly Uint8Array[],
  seed: number,
  from: number,
  cases: number,
  watch: CaseWatch = () => {},
): Catch {
  const beginning = [...target.first, ...kept];
  const known = new Set(beginning.map((input) => target.check(input)));
  const found = new Map<string, Uint8Array>();
  let pool: Uint8Array[] = [];
  let seen = new Set<string>();
  const start = from - (from % BLOCK);
  for (let caseNumber = start; caseNumber < from + cases; caseNumber++) {
    if (caseNumber % BLOCK === 0) {
      pool = [...beginning];
      seen = new Set(known);
    }
    const input = target.generate(new Random(toSeed(target.name, seed, caseNumber)), pool);
    watch(caseNumber, input);
    try {
      const did = target.check(input);
      if (seen.has(did)) continue;
      seen.add(did);
      pool.push(input);
      if (!found.has(did)) found.set(did, input);
    } catch (error) {
      const failure = { caseNumber, input, shrunk: shrinkFailure(target, input, error), error };
      return { cases: caseNumber - from + 1, failure, found };
    }
  }
  return { cases, failure: undefined, found };
}

function shrinkFailure(target: Target, input: Uint8Array, error: unknown): Uint8Array {
  const kind = toKind(error);
  return shrink(input, (smaller) => {
    try {
      target.check(smaller);
      return false;
    } catch (other) {
      return toKind(other) === kind;
    }
  });
}

/** What is the same of two failures that are the same mistake: the words, not the numbers. */
function toKind(error: unknown): string {
  return String(error)
    .replaceAll(/[0-9]+/g, '')
    .slice(0, 60);
}
