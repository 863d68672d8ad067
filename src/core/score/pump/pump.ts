import { fail, type Outcome, type Problem, succeed } from '../../outcome.js';
import {
  divide,
  formatRatio,
  harmonicDistance,
  multiply,
  type PrimeLimit,
  type PrimeVector,
  sameClass,
  toCents,
  toKeys,
  UNISON,
  withKeys,
} from '../../theory/index.js';
import { type ChordMember, findMember, formatChord, type PumpChord, toKeyClass, toMembers } from './chord.js';
import type { Formula } from './formula.js';

/** How one chord leads to the next. */
export interface PumpMove {
  /** The interval the root moves by, within half an octave up or down. */
  readonly ratio: PrimeVector;
  /** The common note that gives the move, and its ratio in both chords; undefined where the formula gives it. */
  readonly by:
    | { readonly keyClass: number; readonly was: ChordMember; readonly becomes: ChordMember }
    | undefined;
  /** Key classes that both chords have at exactly the same pitch: they can be held. */
  readonly held: readonly number[];
  /** Key classes that both have, but a comma apart. */
  readonly shifted: readonly number[];
}

/** A row of pure chords, common notes held, that returns to its first chord at another pitch. */
export interface Pump {
  readonly chords: readonly PumpChord[];
  /** The ratio of each root to the first, octaves chosen as the moves lead. */
  readonly at: readonly PrimeVector[];
  /** From each chord to the next, from the last to the first again. */
  readonly moves: readonly PumpMove[];
  /** The ratio by which one pass moves everything: it spans no key. */
  readonly drift: PrimeVector;
  readonly limit: PrimeLimit;
}

/**
 * Computes the drift of a formula: each chord pure, the root's move given by common notes, or by the formula.
 *
 * Where common notes disagree, the simplest move counts; in a tie the one to the smaller ratio. Fails with `PUMP_APART`
 * for chords without a note in common, and `PUMP_MOVE` for a move to another key. `drift` is how far one pass moves the
 * first root, with as many octaves as make it span no key.
 *
 * @example toPump(parseFormula('I vi ii V', { keyClass: 0, fifths: 0 }).value).value.drift  // [4, -4, 1, 0, 0, 0]: 80/81
 */
export function toPump({ chords, moves }: Formula): Outcome<Pump> {
  const at: PrimeVector[] = [UNISON];
  const made: PumpMove[] = [];
  for (const [i, chord] of chords.entries()) {
    const next = chords[(i + 1) % chords.length];
    const outcome = toMove(chord, next, moves[i], i, chords.length);
    if (!outcome.ok) return outcome;
    made.push(outcome.value);
    at.push(multiply(at[i], outcome.value.ratio));
  }
  const drift = withKeys(at[chords.length], 0);
  return succeed({ chords, at: at.slice(0, -1), moves: made, drift, limit: toLimit(chords, made) });
}

function toMove(
  chord: PumpChord,
  next: PumpChord,
  given: PrimeVector | undefined,
  i: number,
  count: number,
): Outcome<PumpMove> {
  const keys = (((toKeyClass(next.fifths) - toKeyClass(chord.fifths)) % 12) + 12) % 12;
  const near = keys > 6 ? keys - 12 : keys;
  const place = `${formatChord(chord)} and ${formatChord(next)} (chords ${i + 1} and ${((i + 1) % count) + 1})`;
  if (given !== undefined && ((toKeys(given) % 12) + 12) % 12 !== keys)
    return fail(wrongMove(given, place, near));
  const common = toMembers(chord.quality).flatMap((was) => {
    const keyClass = (toKeyClass(chord.fifths) + was.keys) % 12;
    const becomes = findMember(next, keyClass);
    return becomes === undefined ? [] : [{ keyClass, was, becomes, ratio: divide(was.ratio, becomes.ratio) }];
  });
  const by = given === undefined ? simplest(common) : undefined;
  const move = given ?? by?.ratio;
  if (move === undefined) return fail(apart(chord, next, place));
  const ratio = withKeys(move, near);
  const isHeld = (one: { readonly ratio: PrimeVector }) => sameClass(one.ratio, ratio);
  return succeed({
    ratio,
    by: by === undefined ? undefined : { keyClass: by.keyClass, was: by.was, becomes: by.becomes },
    held: common.filter(isHeld).map(({ keyClass }) => keyClass),
    shifted: common.filter((one) => !isHeld(one)).map(({ keyClass }) => keyClass),
  });
}

function simplest<T extends { readonly ratio: PrimeVector }>(common: readonly T[]): T | undefined {
  return [...common].sort(
    (a, b) =>
      harmonicDistance(a.ratio, UNISON) - harmonicDistance(b.ratio, UNISON) ||
      octaveCents(a.ratio) - octaveCents(b.ratio),
  )[0];
}

/** Cents of a ratio, folded into one octave upward. */
function octaveCents(ratio: PrimeVector): number {
  return ((toCents(ratio) % 1200) + 1200) % 1200;
}

function toLimit(chords: readonly PumpChord[], moves: readonly PumpMove[]): PrimeLimit {
  const ratios = [
    ...chords.flatMap(({ quality }) => toMembers(quality).map((member) => member.ratio)),
    ...moves.map((move) => move.ratio),
  ];
  const has = (place: number) => ratios.some((ratio) => ratio[place] !== 0);
  return has(5) ? 13 : has(4) ? 11 : has(3) ? 7 : 5;
}

function apart(chord: PumpChord, next: PumpChord, place: string): Problem {
  return {
    code: 'PUMP_APART',
    message: `${place} have no note in common, so nothing says how far apart they are`,
    advice: `Put a chord between them, or write the move of the root, such as ${formatChord(chord)} 9/8 ${formatChord(next)}.`,
  };
}

function wrongMove(given: PrimeVector, place: string, near: number): Problem {
  const way = near < 0 ? 'down' : 'up';
  return {
    code: 'PUMP_MOVE',
    message: `the move ${formatRatio(given)} doesn't fit between ${place}: their roots are ${Math.abs(near)} keys ${way}, it spans ${toKeys(given)}`,
    advice: 'Write a ratio that leads to that key, octaves apart or not.',
  };
}
