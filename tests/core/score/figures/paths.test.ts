import { expect, test } from 'vitest';
import { findCents, toDriftPath, toOffsetPath } from '../../../../src/core/score/figures/paths.js';
import { type LedgerEntry, step, toDrift } from '../../../../src/core/tuner/index.js';
import { Playing } from '../../../support/play.js';
import { forAll } from '../../../support/properties.js';
import { endOf, letGo, playing, settings } from '../../../support/random-playing.js';

const offset = (atMs: number, cents: number, cause: 'anchor' | 'pull', untilMs = atMs): LedgerEntry => ({
  kind: 'offset',
  atMs,
  untilMs,
  cents,
  cause,
  struck: 0,
  tied: 0,
});

test('a path has a point before and after each move, and a slope while the pull runs', () => {
  const entries = [offset(100, 5, 'anchor', 130), offset(200, -4, 'pull', 400), offset(300, 1, 'anchor')];
  expect(toOffsetPath(entries)).toEqual([
    { atMs: 0, cents: 0 },
    { atMs: 100, cents: 0 },
    { atMs: 100, cents: 5 },
    { atMs: 200, cents: 5 },
    { atMs: 200, cents: 5 },
    { atMs: 300, cents: 3 },
    { atMs: 300, cents: 4 },
    { atMs: 400, cents: 2 },
    { atMs: 400, cents: 2 },
  ]);
});

test('findCents is on a path at any time: after a step at its time, between two points in proportion', () => {
  const path = toOffsetPath([offset(100, 5, 'anchor'), offset(200, -4, 'pull', 400)]);
  expect([0, 99, 100, 150, 200, 250, 400, 900].map((atMs) => findCents(path, atMs))).toEqual([
    0, 0, 5, 5, 5, 4, 1, 1,
  ]);
  expect(findCents([], 5)).toBe(0);
});

test('the drift path is at every strike where the drift of the tuner is', () => {
  let compared = 0;
  forAll([settings(), playing()], 100, (chosen, events) => {
    // A run of the pull is drawn as even, which it is only while nothing is struck.
    if (chosen.strategy === 'pull') return;
    const music = new Playing(chosen);
    const seen: { atMs: number; leftCents: number }[] = [];
    let last = music.tuner.strike;
    for (const event of [...events, ...letGo(endOf(events) + 7)]) {
      step(music.tuner, { kind: 'time', atMs: event.atMs }, music.telling);
      if (last !== undefined && music.tuner.strike === undefined)
        seen.push({ atMs: last.atMs, leftCents: toDrift(music.tuner).leftCents });
      step(music.tuner, event, music.telling);
      last = music.tuner.strike;
    }
    const first = music.telling.told[0];
    if (first === undefined) return;
    // Two strikes at one time are one for the path.
    if (music.telling.told.some(({ what, atMs }) => what === 'end' && atMs === first.atMs)) return;
    const path = toDriftPath(music.telling.entries, first.atMs);
    for (const { atMs, leftCents } of seen) {
      expect(findCents(path, atMs)).toBeCloseTo(leftCents, 6);
      compared += 1;
    }
  });
  expect(compared).toBeGreaterThan(0);
});

test('before its first point a path is where that point is, and an empty path is at 0', () => {
  expect(findCents([{ atMs: 10, cents: 5 }], 3)).toBe(5);
  expect(findCents([], 3)).toBe(0);
});
