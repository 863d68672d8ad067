import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatRatio, ratio, toFifths, withKeys } from '../../../src/core/theory/index.js';
import { toConsonances } from '../../../src/core/tuner/consonance.js';
import { HELD, LOOSE } from '../../../src/core/tuner/index.js';
import { CONTRADICTION, plus, toBound, toRigidChord } from '../../../src/core/tuner/places.js';
import { amongAll } from '../../support/properties.js';
import { type Heard, hear, heardShades, heldAt, strike, toClass } from '../../support/surroundings.js';

const JUST = toConsonances(5);
const TRIADS = [
  [0, 4, 1],
  [0, -3, 1],
];

/** Where a chord that hangs together is wanted beside what is heard. */
function boundOf(heard: readonly Heard[], places: readonly number[], consonances = JUST) {
  const fifths = new Int32Array(12);
  for (const place of places) fifths[toClass(place)] = place;
  const [part] = toRigidChord(strike(places.map(toClass)), fifths, JUST)!;
  return { part, bound: toBound(hear(heard), part, fifths, consonances) };
}

function nameBound(
  heard: readonly Heard[],
  places: readonly number[],
  consonances = JUST,
): string | undefined {
  const { bound } = boundOf(heard, places, consonances);
  if (bound === undefined || bound === CONTRADICTION) return bound;
  return formatRatio(withKeys(bound, toClass(places[0])));
}

describe('held notes', () => {
  it.each<[string, string[], number[], string | undefined]>([
    ['a fifth says where a note stands', ['1/1'], [1], '3/2'],
    ['a third does', ['5/3'], [-1], '4/3'],
    ['so it does of all that hangs together with it', ['5/3'], [2, -1], '10/9'],
    ['a second says nothing', ['1/1'], [2], undefined],
    ['nor does an augmented second', ['6/5'], [6], undefined],
    ['two may agree', ['1/1', '3/2'], [4], '5/4'],
    ['or not', ['1/1', '40/27'], [4], CONTRADICTION],
  ])('%s', (_name, heard, places, wanted) => {
    expect(nameBound(heard.map(heldAt), places)).toBe(wanted);
  });

  it('are asked about some consonances alone', () => {
    expect(nameBound([heldAt('1/1'), heldAt('40/27')], [4], toConsonances(3))).toBeUndefined();
    expect(nameBound([heldAt('27/16'), heldAt('1/1')], [4], toConsonances(3))).toBe('81/64');
  });

  it('take their primes above 5 along', () => {
    const surroundings = hear([]);
    surroundings.hear(ratio('63/64'), 0, 0, HELD);
    const [part] = toRigidChord(strike([7]), Int32Array.of(0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0), JUST)!;
    const fifths = Int32Array.of(0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0);
    expect(toBound(surroundings, part, fifths, JUST)).toEqual([0, 3, 0, 1, 0, 0]);
  });
});

it('what only a pedal holds, and what is silent, binds nothing', () => {
  for (const binding of [LOOSE, 0]) expect(nameBound([{ ...heldAt('1/1'), binding }], [1])).toBeUndefined();
});

it('a bound chord has every consonance with held notes just', () => {
  let bounds = 0;
  fc.assert(
    fc.property(
      fc.array(heardShades, { maxLength: 3 }),
      fc.constantFrom(...TRIADS),
      fc.integer({ min: -4, max: 5 }),
      (heard, triad, by) => {
        const places = triad.map((place) => place + by);
        const { part, bound } = boundOf(heard, places);
        if (bound === undefined || bound === CONTRADICTION) return;
        bounds++;
        for (const step of part.steps) {
          const point = plus(bound, step);
          for (const one of heard) {
            const just = JUST.get(toFifths(point) - one.fifths);
            if (one.binding === HELD && just !== undefined) expect(point[2] - one.commas).toBe(just[2]);
          }
        }
      },
    ),
  );
  expect(bounds).toBeGreaterThan(amongAll(20));
});
