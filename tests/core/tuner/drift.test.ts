import { describe, expect, test } from 'vitest';
import {
  formatRatio,
  type PrimeVector,
  ratio,
  toDeviationCents,
  UNISON,
} from '../../../src/core/theory/index.js';
import {
  createDriftLevel,
  type DriftLevel,
  findStep,
  takeStep,
  toDrift,
} from '../../../src/core/tuner/index.js';

/** Points by key class, as text: "0 1/1, 4 5/4". */
function pointsOf(text: string): (PrimeVector | undefined)[] {
  const points = new Array<PrimeVector | undefined>(12).fill(undefined);
  for (const one of text.split(', ').filter((part) => part !== '')) {
    const [keyClass, its] = one.split(' ');
    points[Number(keyClass)] = ratio(its);
  }
  return points;
}

/** A level with the just scale on C as its references, which has moved so far. */
function levelAt(commas = '1/1'): DriftLevel {
  const level = createDriftLevel();
  takeStep(level, pointsOf('0 1/1, 2 9/8, 4 5/4, 5 4/3, 7 3/2, 9 5/3, 11 15/8'), undefined);
  level.commas = ratio(commas);
  return level;
}

describe('a step of the drift', () => {
  test.each([
    ['none where everything is where it was', '1/1', '0 1/1, 4 5/4, 7 3/2', '0 4 7', undefined],
    ['where most key classes are', '1/1', '0 80/81, 4 100/81, 9 5/3', '9', '80/81'],
    [
      'none for one note that comes back elsewhere over a held chord',
      '1/1',
      '0 1/1, 2 10/9, 4 5/4',
      '2',
      undefined,
    ],
    ['in a tie where more of the struck ones are', '1/1', '2 9/8, 7 40/27', '7', '80/81'],
    [
      'in a tie where more of the struck ones are, if that is where it was',
      '80/81',
      '2 10/9, 7 3/2',
      '2',
      undefined,
    ],
    ['in a tie of struck ones where it was', '80/81', '2 10/9, 7 3/2', '2 7', undefined],
    ['in any other tie the nearest', '1/1', '2 10/9, 7 384/250', '2 7', '80/81'],
    ['back, where the body goes back', '80/81', '0 1/1, 4 5/4, 7 3/2', '0 4 7', '81/80'],
    ['the whole way at once', '80/81', '0 6561/6400', '0', '531441/512000'],
    ['none where only new key classes sound', '80/81', '1 25/24, 6 45/32', '1 6', undefined],
    ['none in silence', '80/81', '', '', undefined],
    ['whatever the octave of the points', '1/1', '0 160/81, 4 25/81', '0 4', '80/81'],
    ['by primes above 5 too', '1/1', '0 64/63, 7 32/21', '0 7', '64/63'],
  ])('is %s', (_what, commas, points, struck, step) => {
    const classes = struck.split(' ').map(Number);
    const found = findStep(levelAt(commas), pointsOf(points), (keyClass) => classes.includes(keyClass));
    expect(found && formatRatio(found)).toBe(step);
  });

  test('gives a new key class a reference without the drift, and leaves the others theirs', () => {
    const level = levelAt();
    takeStep(level, pointsOf('0 80/81, 6 10/7'), ratio('80/81'));
    expect(formatRatio(level.commas)).toBe('80/81');
    expect(formatRatio(level.references[0]!)).toBe('1/1');
    expect(formatRatio(level.references[6]!)).toBe('81/56');
    expect(level.references[1]).toBeUndefined();
  });
});

describe('the drift', () => {
  const driftOf = (commas: string, fromCents: number, cents: number) =>
    toDrift({ ledger: { drift: { ...levelAt(commas), fromCents } }, offset: { cents } });

  test('is what the harmony moved and what the common offset gave back of it', () => {
    const { backCents, leftCents, commas } = driftOf('80/81', 4, 24);
    expect([formatRatio(commas), backCents]).toEqual(['80/81', 20]);
    expect(leftCents).toBeCloseTo(20 + toDeviationCents(ratio('80/81')), 9);
  });

  test('is 0 before a strike has settled, wherever the offset is', () => {
    expect(driftOf('1/1', Number.NaN, 24)).toEqual({ commas: UNISON, backCents: 0, leftCents: 0 });
  });
});
