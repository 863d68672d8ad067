import { COMMAS, type CommaPart, findComma } from './commas.js';
import { formatRatio, type NamedRatio } from './ratio.js';
import { invert, type PrimeVector, toKeys, toRoot } from './vector.js';

/** A comma of the base, by its name in the table, which has all of them. */
function named(name: string): NamedRatio {
  return COMMAS.find((candidate) => candidate.name === name)!;
}

const SYNTONIC = named('syntonic comma');
const SCHISMA = named('schisma');
const PYTHAGOREAN = named('Pythagorean comma');
const LESSER_DIESIS = named('lesser diesis');
const SEPTIMAL = named('septimal comma');
const UNDECIMAL = named('undecimal fifth-tone');
const TRIDECIMAL = named('comma 65/64');

/**
 * A ratio as a sum of named commas with whole counts; their product is exactly the ratio. 1/1 is the empty sum.
 *
 * A named ratio is one part ("greater diesis", not three syntonic commas less a schisma), and a power of a named one is
 * one part too. Anything else is a sum over a base of five: the syntonic comma and one of schisma, Pythagorean comma
 * and lesser diesis (whichever needs the fewest commas; in a tie the first named here), the septimal comma 64/63, the
 * undecimal fifth-tone 45/44 and the comma 65/64. Each of these spans no key and no other prime than its own and
 * smaller ones, the last with exponent ±1, so that every ratio spanning no key is a sum of them in exactly one way.
 *
 * Undefined for a ratio that leads to another key and is no power of a named one.
 *
 * @example decomposeComma([4, -4, 1, 0, 0, 0])  // [{ comma: { name: 'syntonic comma', … }, count: -1 }]: 80/81
 * @example decomposeComma([10, -6, 1, -1, 0, 0])  // [{ count: -1, … }, { count: 1, … }]: 5120/5103
 */
export function decomposeComma(v: PrimeVector): readonly CommaPart[] | undefined {
  const { root, times } = toRoot(v);
  if (times === 0) return [];
  const up = findComma(root);
  if (up) return [{ comma: up, count: times }];
  const down = findComma(invert(root));
  if (down) return [{ comma: down, count: -times }];
  return toKeys(v) === 0 ? sumOfBase(v) : undefined;
}

/**
 * A ratio as commas in words, signs and all; "none" for 1/1, "ratio 16/15" for what is no sum of commas.
 *
 * @example formatComma([4, -4, 1, 0, 0, 0])    // '−1 syntonic comma': 80/81
 * @example formatComma([-8, 8, -2, 0, 0, 0])   // '+2 syntonic commas'
 * @example formatComma([10, -6, 1, -1, 0, 0])  // '−1 syntonic comma, +1 septimal comma': 5120/5103
 */
export function formatComma(v: PrimeVector): string {
  const parts = decomposeComma(v);
  if (!parts) return `ratio ${formatRatio(v)}`;
  if (parts.length === 0) return 'none';
  return parts
    .map(({ comma, count }) => {
      const size = Math.abs(count);
      return `${count < 0 ? '−' : '+'}${size} ${size === 1 ? comma.name : pluralise(comma.name)}`;
    })
    .join(', ');
}

/**
 * The base is triangular: 65/64 alone holds 13, then 45/44 alone holds 11, and so on down; what is left after
 * taking out 81/80 is 2^a·3^b spanning no key, 12a + 19b = 0, hence a power of 3^12/2^19.
 */
function sumOfBase(v: PrimeVector): readonly CommaPart[] {
  const tridecimal = v[5];
  const undecimal = 0 - v[4];
  const septimal = 0 - v[3];
  const fives = v[2] - tridecimal * TRIDECIMAL.ratio[2] - undecimal * UNDECIMAL.ratio[2];
  const threes = v[1] - undecimal * UNDECIMAL.ratio[1] - septimal * SEPTIMAL.ratio[1];
  const syntonic = 0 - fives;
  const pythagorean = (threes - 4 * syntonic) / 12;
  // Pythagorean comma = syntonic comma + schisma; lesser diesis = 3 syntonic commas - Pythagorean comma.
  const choices: [number, NamedRatio, number][] = [
    [syntonic + pythagorean, SCHISMA, pythagorean],
    [syntonic, PYTHAGOREAN, pythagorean],
    [syntonic + 3 * pythagorean, LESSER_DIESIS, 0 - pythagorean],
  ];
  const [count, second, secondCount] = choices.reduce((best, next) =>
    length(next) < length(best) ? next : best,
  );
  const parts: CommaPart[] = [
    { comma: SYNTONIC, count },
    { comma: second, count: secondCount },
    { comma: SEPTIMAL, count: septimal },
    { comma: UNDECIMAL, count: undecimal },
    { comma: TRIDECIMAL, count: tridecimal },
  ];
  return parts.filter((part) => part.count !== 0);
}

function length([a, , b]: [number, NamedRatio, number]): number {
  return Math.abs(a) + Math.abs(b);
}

/** "syntonic commas", "lesser dieses", "commas 126/125". */
function pluralise(name: string): string {
  if (name.startsWith('comma ')) return name.replace('comma ', 'commas ');
  return name.endsWith('diesis') ? name.replace(/diesis$/, 'dieses') : `${name}s`;
}
