/** A place on the drawing, in steps: 1 is a fifth along. Up is negative, as on a screen. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

/** The odd part of a lattice point that the drawing shows: exponents of 3, 5 and 7. */
export type LatticeKey = readonly [number, number, number];

/**
 * Directions in the plane: major thirds go up and a little to the right, so that triads look like sails; sevenths are a
 * short slant back.
 */
const THIRD: Place = { x: 0.32, y: -0.86 };
const SEVENTH: Place = { x: 0.5, y: 0.34 };

/** Where a point is drawn. @example toPlace([1, 0, 0])  // { x: 1, y: 0 }: a fifth along */
export function toPlace([threes, fives, sevens]: LatticeKey): Place {
  return {
    x: threes + fives * THIRD.x + sevens * SEVENTH.x,
    y: fives * THIRD.y + sevens * SEVENTH.y + 0,
  };
}

/** The drawn part of a point of the feed: octaves, 11 and 13 left out. */
export function toLatticeKey(point: readonly number[]): LatticeKey {
  return [point[1], point[2], point[3]];
}

/** A part of the plane. */
export interface Window {
  readonly centre: Place;
  /** Half its width and height, in steps. */
  readonly halfWidth: number;
  readonly halfHeight: number;
}

/**
 * Points of fifths and thirds within a window, rows from the bottom up.
 * @param sevens which plane of them: the exponent of 7 they share
 */
export function gridWithin({ centre, halfWidth, halfHeight }: Window, sevens = 0): LatticeKey[] {
  const [aside, down] = [sevens * SEVENTH.x, sevens * SEVENTH.y];
  const keys: LatticeKey[] = [];
  const lowest = Math.ceil((centre.y - down + halfHeight) / THIRD.y);
  const highest = Math.floor((centre.y - down - halfHeight) / THIRD.y);
  for (let fives = lowest; fives <= highest; fives++) {
    const first = Math.ceil(centre.x - aside - halfWidth - fives * THIRD.x);
    const last = Math.floor(centre.x - aside + halfWidth - fives * THIRD.x);
    for (let threes = first; threes <= last; threes++) keys.push([threes, fives, sevens]);
  }
  return keys;
}

/** A sounding pure triad: its three points, and whether it is upright (major) or inverted (minor). */
export interface Sail {
  readonly corners: readonly [LatticeKey, LatticeKey, LatticeKey];
  readonly kind: 'major' | 'minor';
}

/**
 * Every pure triad among the points.
 * @example findSails([[0, 0, 0], [0, 1, 0], [1, 0, 0]]).map(({ kind }) => kind)  // ['major']: C E G
 */
export function findSails(points: readonly LatticeKey[]): Sail[] {
  const there = new Set(points.map(String));
  const sails: Sail[] = [];
  for (const root of uniqueKeys(points)) {
    const [threes, fives, sevens] = root;
    const fifth: LatticeKey = [threes + 1, fives, sevens];
    if (!there.has(String(fifth))) continue;
    const major: LatticeKey = [threes, fives + 1, sevens];
    const minor: LatticeKey = [threes + 1, fives - 1, sevens];
    if (there.has(String(major))) sails.push({ corners: [root, major, fifth], kind: 'major' });
    if (there.has(String(minor))) sails.push({ corners: [root, minor, fifth], kind: 'minor' });
  }
  return sails;
}

/** Pairs of points a fifth, a third or a harmonic seventh apart, to be joined by lines. */
export function findBonds(points: readonly LatticeKey[]): [LatticeKey, LatticeKey][] {
  const keys = uniqueKeys(points);
  const there = new Map(keys.map((key) => [String(key), key]));
  const bonds: [LatticeKey, LatticeKey][] = [];
  for (const key of keys) {
    const [threes, fives, sevens] = key;
    const ends: LatticeKey[] = [
      [threes + 1, fives, sevens],
      [threes, fives + 1, sevens],
      [threes + 1, fives - 1, sevens],
      [threes, fives, sevens + 1],
    ];
    for (const end of ends) {
      const found = there.get(String(end));
      if (found !== undefined) bonds.push([key, found]);
    }
  }
  return bonds;
}

/** Each point once, in the order of its first occurrence. */
export function uniqueKeys(points: readonly LatticeKey[]): LatticeKey[] {
  return [...new Map(points.map((key) => [String(key), key])).values()];
}

/** The plane of fifths and thirds with most of the points, as its exponent of 7; in a tie the one nearest to 0. */
export function findPlane(points: readonly LatticeKey[]): number {
  let [best, most] = [0, 0];
  for (const [, , sevens] of points) {
    const count = points.filter((other) => other[2] === sevens).length;
    if (count > most || (count === most && Math.abs(sevens) < Math.abs(best))) [best, most] = [sevens, count];
  }
  return best;
}

/** The middle of some points, or undefined for none. */
export function toCentre(points: readonly LatticeKey[]): Place | undefined {
  if (points.length === 0) return undefined;
  const places = points.map(toPlace);
  const mean = (of: (place: Place) => number) =>
    places.reduce((sum, place) => sum + of(place), 0) / places.length;
  return { x: mean((place) => place.x), y: mean((place) => place.y) };
}

/** The next centre of the view: it stays until the music is within `margin` of the edge, so that it moves seldom. */
export function follow(view: Place, music: Place, slackX: number, slackY: number): Place {
  const isInside = Math.abs(music.x - view.x) <= slackX && Math.abs(music.y - view.y) <= slackY;
  return isInside ? view : music;
}
