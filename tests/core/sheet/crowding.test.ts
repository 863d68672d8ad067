import { expect, test } from 'vitest';
import { toAccidentalPlaces, toLanes, toSides } from '../../../src/core/sheet/crowding.js';
import { numbers } from '../../support/numbers.js';

test.each([
  numbers('30 32 34, 0 0 0'),
  numbers('30 31 33, 0 1 0'),
  numbers('30 31 32, 0 1 0'),
  numbers('30 30 30, 0 1 2'),
])('heads of a sheet on steps %j move aside by %j', (steps, sides) => expect(toSides(steps)).toEqual(sides));

test('accidentals of a sheet are above each other where there is room, else side by side', () => {
  expect(toAccidentalPlaces([8, 8], [0, 40])).toEqual({ width: 8, ends: [0, 0], starts: [8, 8] });
  const near = toAccidentalPlaces([8, 8, 0], [0, 8, 4]);
  expect(near.ends).toEqual([0, 9, 0]);
  expect(near.width).toBe(17);
  // Of two on one line the first stands nearer.
  expect(toAccidentalPlaces([8, 10], [4, 4])).toEqual({ width: 19, ends: [0, 9], starts: [8, 19] });
  // The third has room again beside the heads.
  expect(toAccidentalPlaces([8, 8, 8], [0, 10, 20]).ends).toEqual([0, 9, 0]);
});

test('the lanes of arrows are one for each deciding note, the shortest inside, side by side where they overlap', () => {
  expect(toLanes([undefined, 0, 0, 2], [100, 80, 60, 40])).toEqual([
    { from: 2, to: [3], lane: 0 },
    { from: 0, to: [1, 2], lane: 1 },
  ]);
  expect(toLanes([undefined, 0, undefined, 2], [300, 280, 60, 40])).toEqual([
    { from: 0, to: [1], lane: 0 },
    { from: 2, to: [3], lane: 0 },
  ]);
  expect(toLanes([undefined, undefined], [0, 9])).toEqual([]);
});
