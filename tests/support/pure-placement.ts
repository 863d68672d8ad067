import type { PrimeVector } from '../../src/core/theory/index.js';

/** A note and its place on the lattice. Of the place only primes 3 and 5 are read. */
export interface PlacedNote {
  readonly key: number;
  readonly point: PrimeVector;
}

/** A note and its place on the line of fifths, which is what its letter and accidental say. */
export interface SpelledNote {
  readonly key: number;
  readonly fifths: number;
}

/**
 * How many consonances aren't just. Less is first of all fewer octaves, then fewer fifths, then fewer thirds; each with its
 * inversion. Notes at one place count once: an octave doubled makes no chord purer or less pure.
 */
export interface Impurity {
  readonly octaves: number;
  readonly fifths: number;
  readonly thirds: number;
}

const KINDS = ['octaves', 'fifths', 'thirds'] as const;

/** What says whether two notes are a consonance: how they are spelled, or the keys alone. */
export type Rule = 'spelling' | 'keys';

/** Exponents of 3 and 5, or a step between two places. */
type Place = readonly [threes: number, fives: number];

interface Interval {
  /** The step of the just interval. */
  readonly step: Place;
  readonly kind: (typeof KINDS)[number];
}

/** By how many fifths a note lies above another on the line of fifths, where the two are a consonance. */
const BY_FIFTHS: ReadonlyMap<number, Interval> = new Map([
  [0, { step: [0, 0], kind: 'octaves' }],
  [1, { step: [1, 0], kind: 'fifths' }],
  [-1, { step: [-1, 0], kind: 'fifths' }],
  [3, { step: [-1, 1], kind: 'thirds' }],
  [-3, { step: [1, -1], kind: 'thirds' }],
  [4, { step: [0, 1], kind: 'thirds' }],
  [-4, { step: [0, -1], kind: 'thirds' }],
]);

/** By how many keys, octaves folded: where it would be a consonance if it were spelled as one. */
const BY_KEYS: ReadonlyMap<number, Interval> = new Map(
  [...BY_FIFTHS].map(([fifths, interval]) => [(7 * fifths + 84) % 12, interval]),
);

const NONE: Impurity = { octaves: 0, fifths: 0, thirds: 0 };

/** How a note is spelled, by its place on the lattice: each 3 is a fifth, each 5 four of them. */
export function toSpelled({ key, point }: PlacedNote): SpelledNote {
  return { key, fifths: point[1] + 4 * point[2] };
}

/** Whether notes that are struck have places at which every consonance among them, and with the held notes, is just. */
export function canBePure(
  held: readonly PlacedNote[],
  struck: readonly SpelledNote[],
  rule: Rule = 'spelling',
): boolean {
  return isPure(toLeastImpurity(held, struck, rule));
}

/** Whether nothing is impure. */
export function isPure({ octaves, fifths, thirds }: Impurity): boolean {
  return octaves + fifths + thirds === 0;
}

/** Whether there is less of one impurity than of another. */
export function isLess(one: Impurity, other: Impurity): boolean {
  const kind = KINDS.find((its) => one[its] !== other[its]);
  return kind !== undefined && one[kind] < other[kind];
}

/** The consonances that aren't just among struck notes, and between them and held ones. Those among held notes are given. */
export function toImpurity(
  held: readonly PlacedNote[],
  struck: readonly PlacedNote[],
  rule: Rule = 'spelling',
): Impurity {
  const nodes = [...toNodes(held, true), ...toNodes(struck, false)];
  return toConsonances(nodes, rule).reduce((sum, consonance) => {
    const [from, to] = [nodes[consonance.from].place, nodes[consonance.to].place];
    return isAt(to, add(from, consonance.step)) ? sum : addTo(sum, consonance);
  }, NONE);
}

/**
 * The least impurity at which struck notes can stand, of all their places on the lattice of primes 3 and 5.
 *
 * Exact, though the lattice has no end: what keeps its consonances pure hangs together, and one place in it says all
 * others. So each consonance is either kept, which binds what it joins, or given up. What is bound to no held note can
 * stand anywhere. All notes of a key class stand together: any that stood apart could join the better of them.
 *
 * @example toLeastImpurity([], [C, E, G_SHARP], 'spelling') // no impurity: C G♯ is no third
 * @example toLeastImpurity([], [C, E, G_SHARP], 'keys')     // one third
 */
export function toLeastImpurity(
  held: readonly PlacedNote[],
  struck: readonly SpelledNote[],
  rule: Rule = 'spelling',
): Impurity {
  const classes = new Map(struck.map(({ key, fifths }) => [key % 12, fifths]));
  const free = [...classes].map(
    ([keyClass, fifths]): Node => ({ keyClass, fifths, isHeld: false, place: [0, 0] }),
  );
  const nodes = [...toNodes(held, true), ...free];
  // Those that are dearer to give up come first.
  const consonances = toConsonances(nodes, rule).sort(
    (a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind),
  );
  let best: Impurity = { octaves: Infinity, fifths: Infinity, thirds: Infinity };
  const decide = (at: number, bodies: readonly Body[], sum: Impurity): void => {
    if (!isLess(sum, best)) return;
    if (at === consonances.length) {
      best = sum;
      return;
    }
    const consonance = consonances[at];
    const [from, to] = [bodies[consonance.from], bodies[consonance.to]];
    const wanted = add(from.place, consonance.step);
    if (from.body !== to.body) decide(at + 1, join(bodies, from, to, wanted), sum);
    const isKept = from.body === to.body && isAt(to.place, wanted);
    decide(at + 1, bodies, isKept ? sum : addTo(sum, consonance));
  };
  decide(
    0,
    nodes.map(({ place, isHeld }, i) => ({ body: isHeld ? HELD : i, place })),
    NONE,
  );
  return best;
}

/** Notes of one key class at one place. */
interface Node {
  readonly keyClass: number;
  readonly fifths: number;
  readonly isHeld: boolean;
  readonly place: Place;
}

interface Consonance extends Interval {
  readonly from: number;
  readonly to: number;
}

/** Nodes with one body are bound to each other; their places have the same origin. */
interface Body {
  readonly body: number;
  readonly place: Place;
}

/** The body of all held notes: it stands where it stands. */
const HELD = -1;

function toNodes(notes: readonly PlacedNote[], isHeld: boolean): Node[] {
  const nodes: Node[] = [];
  for (const note of notes) {
    const { key, point } = note;
    if (point[3] !== 0 || point[4] !== 0 || point[5] !== 0)
      throw new RangeError(`key ${key} has a prime above 5 in it`);
    const place: Place = [point[1], point[2]];
    const keyClass = key % 12;
    if (!nodes.some((node) => node.keyClass === keyClass && isAt(node.place, place)))
      nodes.push({ keyClass, fifths: toSpelled(note).fifths, isHeld, place });
  }
  return nodes;
}

/** All that can be just or not, at least one of its notes being struck. */
function toConsonances(nodes: readonly Node[], rule: Rule): Consonance[] {
  return nodes.flatMap((node, to) =>
    nodes.slice(0, to).flatMap((other, from): Consonance[] => {
      const found =
        rule === 'keys'
          ? BY_KEYS.get((node.keyClass + 12 - other.keyClass) % 12)
          : BY_FIFTHS.get(node.fifths - other.fifths);
      return found === undefined || (node.isHeld && other.isHeld) ? [] : [{ from, to, ...found }];
    }),
  );
}

/** Binds two bodies so that `to` stands at the wanted place, as seen from `from`. Held notes never move. */
function join(bodies: readonly Body[], from: Body, to: Body, wanted: Place): Body[] {
  const way: Place = [wanted[0] - to.place[0], wanted[1] - to.place[1]];
  const [moved, kept, by] = to.body === HELD ? [from, to, negate(way)] : [to, from, way];
  return bodies.map((one) =>
    one.body === moved.body ? { body: kept.body, place: add(one.place, by) } : one,
  );
}

const addTo = (sum: Impurity, { kind }: Consonance): Impurity => ({ ...sum, [kind]: sum[kind] + 1 });

const add = (a: Place, b: Place): Place => [a[0] + b[0], a[1] + b[1]];

const negate = (a: Place): Place => [-a[0], -a[1]];

const isAt = (a: Place, b: Place): boolean => a[0] === b[0] && a[1] === b[1];

/**
 * Whether struck notes can be spelled so that all octaves, fifths and fourths that sound are what they are. Only held
 * notes that speak against each other, or all twelve keys, prevent it.
 */
export function canBeSpelled(held: readonly SpelledNote[], struckKeys: readonly number[]): boolean {
  const known = [...held];
  const open = new Set(struckKeys.filter((key) => !held.some((note) => note.key === key)));
  for (let start: number | undefined; open.size > 0; ) {
    // Whatever a known note says of an open one; else one that nothing is said of stands anywhere.
    const found = [...open].flatMap((key) =>
      known.flatMap((note) => toPerfect(note, key).map((fifths): SpelledNote => ({ key, fifths }))),
    );
    start = [...open][0];
    const [next] = found.length > 0 ? found : [{ key: start, fifths: (7 * start) % 12 }];
    open.delete(next.key);
    known.push(next);
  }
  return struckKeys.every((key) => {
    const { fifths } = known.find((note) => note.key === key)!;
    return known.every((note) => toPerfect(note, key).every((wanted) => wanted === fifths));
  });
}

/** Where a note a note's octave, fifth or fourth away belongs; nothing for any other. */
function toPerfect({ key, fifths }: SpelledNote, other: number): number[] {
  const keys = (((other - key) % 12) + 12) % 12;
  if (keys === 0) return [fifths];
  if (keys === 7) return [fifths + 1];
  return keys === 5 ? [fifths - 1] : [];
}

/** Octaves, fifths and fourths, of struck notes among each other and with held ones, that are spelled as something else. */
export function listMisspelled(
  held: readonly SpelledNote[],
  struck: readonly SpelledNote[],
): [SpelledNote, SpelledNote][] {
  return listPairs(held, struck).filter(([a, b]) =>
    toPerfect(a, b.key).some((fifths) => fifths !== b.fifths),
  );
}

/** Thirds and sixths by the keys that are spelled as augmented seconds or diminished fourths, or their inversions. */
export function listSeeming(
  held: readonly SpelledNote[],
  struck: readonly SpelledNote[],
): [SpelledNote, SpelledNote][] {
  return listPairs(held, struck).filter(([a, b]) => {
    const found = BY_KEYS.get((a.key - b.key + 120) % 12);
    return found !== undefined && found.kind === 'thirds' && Math.abs(a.fifths - b.fifths) > 4;
  });
}

/** Whether both belong to a major or minor triad that sounds, or nothing else sounds at all. */
export function isInTriad(
  [a, b]: readonly [SpelledNote, SpelledNote],
  soundingKeys: readonly number[],
): boolean {
  const sounding = new Set(soundingKeys.map((key) => key % 12));
  if (sounding.size === 2) return true;
  for (let root = 0; root < 12; root++) {
    for (const third of [3, 4]) {
      const triad = [root, (root + third) % 12, (root + 7) % 12];
      if (!triad.every((keyClass) => sounding.has(keyClass))) continue;
      if (triad.includes(a.key % 12) && triad.includes(b.key % 12)) return true;
    }
  }
  return false;
}

function listPairs(
  held: readonly SpelledNote[],
  struck: readonly SpelledNote[],
): [SpelledNote, SpelledNote][] {
  return struck.flatMap((note, i) =>
    [...held, ...struck.slice(0, i)].map((other): [SpelledNote, SpelledNote] => [note, other]),
  );
}
