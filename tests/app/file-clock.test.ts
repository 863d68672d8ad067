import { expect, test } from 'vitest';
import { FileClock } from '../../src/app/file-outlet.js';
import { toTempoMap } from '../../src/core/midi/index.js';
import { buildMidi } from '../support/build-midi.js';

/** 120 quarter notes a minute. */
const FILE = buildMidi([[0, 4, 60]]);
const QUARTER = FILE.division.kind === 'ppq' ? FILE.division.ticksPerQuarter : 0;

test('FileClock gives the time of the event being played', () => {
  const clock = new FileClock(toTempoMap(FILE));
  expect([clock.tick, clock.atMs]).toEqual([0, 0]);
  clock.goTo(2 * QUARTER);
  expect([clock.tick, clock.atMs]).toEqual([2 * QUARTER, 1000]);
});

test('FileClock stamps what is due between two events, and nothing after the second', () => {
  const clock = new FileClock(toTempoMap(FILE));
  clock.goTo(2 * QUARTER);
  clock.stamp(500);
  expect(clock.tick).toBe(QUARTER);
  clock.stamp(1000);
  expect(clock.tick).toBe(2 * QUARTER);
  clock.stamp(1500);
  expect(clock.tick).toBe(2 * QUARTER);
  clock.stamp(750);
  clock.goTo(2 * QUARTER);
  expect(clock.tick).toBe(2 * QUARTER);
});
