import { expect, test } from 'vitest';
import { InputBends } from '../../../src/core/outlet/input-bends.js';

test('a part not heard before has no bend, wanted or carried', () => {
  const bends = new InputBends(2);
  expect([bends.wanted(3), bends.carried(3), bends.isShort(3)]).toEqual([0, 0, false]);
  expect(bends.makeRoom(3, 50)).toBe(false);
});

test('a wheel gives way to the note that leaves least room, in whatever order the notes come', () => {
  for (const tunings of [
    [-13.7, 2, 13.3],
    [13.3, -13.7, 2],
  ]) {
    const bends = new InputBends(2);
    bends.set(0, 200);
    for (const tuning of tunings) bends.makeRoom(0, tuning);
    expect(bends.carried(0)).toBeCloseTo(186.676, 3);
    expect([bends.wanted(0), bends.isShort(0)]).toEqual([200, true]);
  }
});

test('a wheel has its whole bend again once it moves, or once its part is silent', () => {
  const bends = new InputBends(2);
  bends.set(0, 200);
  expect(bends.makeRoom(0, 40)).toBe(true);
  bends.set(0, 150);
  expect(bends.carried(0)).toBe(150);
  bends.set(0, 200);
  bends.makeRoom(0, 40);
  bends.restore(0);
  expect(bends.carried(0)).toBe(200);
});

test('the wheel of one part gives nothing away for another', () => {
  const bends = new InputBends(2);
  bends.set(0, 200);
  bends.set(1, 200);
  bends.makeRoom(0, 90);
  expect(bends.isShort(1)).toBe(false);
  bends.clear();
  expect([bends.wanted(0), bends.carried(1)]).toEqual([0, 0]);
});
