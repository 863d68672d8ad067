import { expect, test } from 'vitest';
import { toComparisonSheet } from '../../../src/app/compare/sheet.js';
import { centsAt } from '../../../src/page/report/player.js';
import { comparison } from '../../support/warm-up.js';

test('the page of a comparison is given every note where it was heard, with few points', () => {
  const sheet = toComparisonSheet(comparison);
  expect(sheet.notes).toHaveLength(120);
  let points = 0;
  let farthest = 0;
  sheet.notes.forEach(({ onMs, offMs, pitch }, n) => {
    comparison.versions.forEach(({ notes }, v) => {
      points += pitch[v].length / 2;
      for (let ms = 0; ms < offMs - onMs; ms += 37) {
        const heard = notes[n].pitch.findLast(({ atMs }) => atMs <= onMs + ms + 0.01);
        farthest = Math.max(farthest, Math.abs(centsAt(pitch[v], ms) - (heard?.cents ?? 0)));
      }
    });
  });
  // A glide of a tied note goes in steps of 10 ms there, and in a straight line here.
  expect(farthest).toBeLessThan(3);
  const told = comparison.versions
    .flatMap(({ notes }) => notes)
    .reduce((count, { pitch }) => count + pitch.length, 0);
  expect(points).toBeLessThan(told / 3);
});

test('a place on a line of the comparison is right between, before and after its points', () => {
  const line = [0, 6000, 100, 6010, 200, 6010];
  expect([0, 50, 100, 150, 900].map((ms) => centsAt(line, ms))).toEqual([6000, 6005, 6010, 6010, 6010]);
});
