import { type Consonances, toConsonances } from '../../src/core/tuner/consonance.js';
import { HELD } from '../../src/core/tuner/index.js';
import { toRigidChord } from '../../src/core/tuner/places.js';
import { type Heard, type Shade, strike, toClass } from './surroundings.js';

/** The consonances of the 5-limit. */
export const JUST = toConsonances(5);

/** Octaves, fifths and fourths alone. */
export const PERFECT = toConsonances(3);

/** Every way to place notes, each within some commas, of which `isGood` holds as they are placed one by one. */
export function listWays(
  places: readonly number[],
  most: number,
  isGood: (one: Shade, before: readonly Shade[]) => boolean = () => true,
): Shade[][] {
  let ways: Shade[][] = [[]];
  for (const fifths of places) {
    ways = ways.flatMap((way) => {
      const longer: Shade[][] = [];
      for (let commas = -most; commas <= most; commas++)
        if (isGood({ fifths, commas }, way)) longer.push([...way, { fifths, commas }]);
      return longer;
    });
  }
  return ways;
}

/** Whether two notes are just, if they are one of some consonances. */
export function isPureWith(a: Shade, b: Shade, consonances: Consonances = JUST): boolean {
  const just = consonances.get(a.fifths - b.fifths);
  return just === undefined || just[2] === a.commas - b.commas;
}

/** The ways in which every consonance with held notes, and of struck ones among each other, is just. */
export function listPureWays(
  places: readonly number[],
  heard: readonly Heard[],
  consonances: Consonances = JUST,
): Shade[][] {
  const held = heard.filter(({ binding }) => binding === HELD);
  return listWays(places, 6, (one, before) =>
    [...held, ...before].every((other) => isPureWith(one, other, consonances)),
  );
}

/** Whether no octave or fifth with a note that sounds is misspelled: seldom, where held notes leave no other way. */
export function isSpelledWell(places: readonly number[], heard: readonly Heard[]): boolean {
  const sounding = heard.filter(({ binding }) => binding !== 0);
  return places.every((place) =>
    [...sounding.map(({ fifths }) => fifths), ...places].every((other) => Math.abs(place - other) < 11),
  );
}

/** Whether each part that hangs together comes within some commas of something that was heard. */
export function isNear(
  way: readonly Shade[],
  heard: readonly Heard[],
  consonances: Consonances = JUST,
  reach = 1,
): boolean {
  const places = way.map(({ fifths }) => fifths);
  const parts = toRigidChord(strike(places.map(toClass)), toFifthsList(places), consonances)!;
  const held = heard.filter(({ binding }) => binding === HELD);
  const isWithin = (one: Heard) =>
    held.length === 0 || held.some(({ commas }) => Math.abs(commas - one.commas) <= 3);
  const near = heard.filter((one) => one.binding !== 0 || isWithin(one));
  return parts.every(({ classes }) =>
    classes.some((keyClass) => {
      const { commas } = way.find(({ fifths }) => toClass(fifths) === keyClass)!;
      return near.some((one) => Math.abs(one.commas - commas) <= reach);
    }),
  );
}

/** The ways that a strike may go: pure if it can be, else with all its octaves and fifths pure, else as it may. */
export function listAllowed(places: readonly number[], heard: readonly Heard[]): Shade[][] {
  const pure = listPureWays(places, heard);
  if (pure.length > 0) return pure.filter((way) => isNear(way, heard));
  const perfect = listPureWays(places, heard, PERFECT);
  if (perfect.length > 0) return perfect.filter((way) => isNear(way, heard, PERFECT, 3));
  return listWays(places, 6).filter((way) => way.every((one) => isNear([one], heard, PERFECT, 3)));
}

/** The places on the line of fifths of struck notes, by key class. */
export function toFifthsList(places: readonly number[]): Int32Array {
  const fifths = new Int32Array(12);
  for (const place of places) fifths[toClass(place)] = place;
  return fifths;
}
