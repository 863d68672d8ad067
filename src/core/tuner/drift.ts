import {
  divide,
  multiply,
  type PrimeVector,
  sameClass,
  toDeviationCents,
  UNISON,
  withKeys,
} from '../theory/index.js';

/**
 * How far the harmony as a body has moved since its first strike. It moves on the lattice at a strike alone, and only as
 * key classes come back elsewhere.
 */
export interface DriftLevel {
  /** The comma product it has moved by: it spans no key. */
  commas: PrimeVector;
  /** By key class: its point without any drift; undefined until it sounds. */
  readonly references: (PrimeVector | undefined)[];
  /** The common offset as the first strike settled: from there on the offset gives back. NaN before. */
  fromCents: number;
}

/** The drift of a tuner: `toDeviationCents(commas)` + `backCents` = `leftCents`. */
export interface Drift {
  readonly commas: PrimeVector;
  /** How far the common offset has moved since the first strike, in cents: what was given back. */
  readonly backCents: number;
  /** How far the pitch of the music is from where it began, in cents. */
  readonly leftCents: number;
}

/** No drift, and nothing heard. */
export function createDriftLevel(): DriftLevel {
  return {
    commas: UNISON,
    references: new Array<PrimeVector | undefined>(12).fill(undefined),
    fromCents: Number.NaN,
  };
}

/**
 * The drift now, as if every glide were over. In silence it stays what it was; 0 before the first strike has settled.
 * Under `temper` the common offset has the move of the mean, so this is the drift of the chord as a whole.
 *
 * @example formatRatio(toDrift(pumpedTuner).commas)  // '80/81', after one falling pump on C
 */
export function toDrift({
  ledger,
  offset,
}: {
  readonly ledger: { readonly drift: DriftLevel };
  readonly offset: { readonly cents: number };
}): Drift {
  const { commas, fromCents } = ledger.drift;
  const backCents = Number.isNaN(fromCents) ? 0 : offset.cents - fromCents;
  return { commas, backCents, leftCents: toDeviationCents(commas) + backCents };
}

/**
 * How far a strike that has settled moves the drift. The harmony is where most of its key classes are, over their
 * references: one note that comes back elsewhere over a held chord is no drift. In a tie it is where more of those just
 * struck are, then where it was, then the nearest. Key classes without a reference are no evidence.
 *
 * @param points   by key class: the point of what sounds, octaves aside; undefined for a silent one
 * @param isStruck whether a key class was struck just now
 * @returns a comma product; undefined for no step
 * @example findStep(createDriftLevel(), [UNISON], () => true)  // undefined: nothing came back
 */
export function findStep(
  level: Readonly<DriftLevel>,
  points: readonly (PrimeVector | undefined)[],
  isStruck: (keyClass: number) => boolean,
): PrimeVector | undefined {
  if (areAt(points, level.references, level.commas)) return undefined;
  const step = divide(findBody(level, points, isStruck), level.commas);
  return sameClass(step, UNISON) ? undefined : withKeys(step, 0);
}

/**
 * Moves the drift by a step, if there is one. Key classes without a reference get one from there.
 *
 * @example
 * const level = createDriftLevel();
 * takeStep(level, [UNISON], undefined);
 * level.references[0]  // [0, 0, 0, 0, 0, 0]: from here C counts
 */
export function takeStep(
  level: DriftLevel,
  points: readonly (PrimeVector | undefined)[],
  step: PrimeVector | undefined,
): void {
  if (step !== undefined) level.commas = multiply(level.commas, step);
  for (let keyClass = 0; keyClass < points.length; keyClass++) {
    const point = points[keyClass];
    if (point !== undefined) level.references[keyClass] ??= divide(point, level.commas);
  }
}

/** Whether every key class with a reference is `commas` away from it. */
function areAt(
  points: readonly (PrimeVector | undefined)[],
  references: DriftLevel['references'],
  commas: PrimeVector,
): boolean {
  for (let keyClass = 0; keyClass < points.length; keyClass++) {
    const [point, reference] = [points[keyClass], references[keyClass]];
    if (point === undefined || reference === undefined) continue;
    for (let i = 1; i < 6; i++) if (point[i] !== reference[i] + commas[i]) return false;
  }
  return true;
}

/** Where the body of the harmony is. At least one key class has a reference. */
function findBody(
  { commas, references }: DriftLevel,
  points: readonly (PrimeVector | undefined)[],
  isStruck: (keyClass: number) => boolean,
): PrimeVector {
  const moves = points.map((point, keyClass) => {
    const reference = references[keyClass];
    return point === undefined || reference === undefined ? undefined : withKeys(divide(point, reference), 0);
  });
  const distance = (move: PrimeVector) => Math.abs(toDeviationCents(divide(move, commas)));
  let [best, most, mostStruck] = [commas, 0, 0];
  for (const move of moves) {
    if (move === undefined) continue;
    let [count, struck] = [0, 0];
    moves.forEach((other, keyClass) => {
      if (other === undefined || !sameClass(other, move)) return;
      count += 1;
      if (isStruck(keyClass)) struck += 1;
    });
    const lead = count - most || struck - mostStruck || distance(best) - distance(move);
    if (lead > 0) [best, most, mostStruck] = [move, count, struck];
  }
  return best;
}
