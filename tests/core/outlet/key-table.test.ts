import { expect, test } from 'vitest';
import { type Expression, NO_EXPRESSION } from '../../../src/core/outlet/fingers.js';
import { KeyTable } from '../../../src/core/outlet/key-table.js';
import { createCounters } from '../../../src/core/outlet/outlet.js';
import type { TunedNote } from '../../../src/core/outlet/tuned-keys.js';
import { SynthModel } from '../../support/synth-model.js';

function setUp() {
  const synth = new SynthModel();
  const counters = createCounters();
  const table = new KeyTable({ device: 0x7f, program: 0, sink: synth }, counters);
  const add = (key: number, cents: number, expression: Expression): TunedNote => {
    const tunedKey = table.keys[key];
    const what = { id: key, part: 0, playedKey: key, key, channel: 2, tunedKey, atMs: 0, cents, expression };
    const note = { ...what, isClamped: false, before: undefined, after: undefined, nextDown: undefined };
    tunedKey.notes.add(note);
    return note;
  };
  return { synth, counters, table, add };
}

test('a key is tuned to its note and the bend of its finger, once, and again after a doubt', () => {
  const { synth, table, add } = setUp();
  const note = add(60, 6000, { bendCents: 50, pressure: 0, timbre: 64 });
  const change = [0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 60, 60, 64, 0, 0xf7];
  expect(synth.during(() => table.tune(note.tunedKey))).toEqual([change]);
  expect(synth.during(() => table.tune(note.tunedKey))).toEqual([]);
  table.doubt();
  expect(synth.during(() => table.tune(note.tunedKey))).toEqual([change]);
});

test('a pitch without a tuning word is counted once, for as long as the finger stays there', () => {
  const { counters, table, add } = setUp();
  const note = add(127, 12_700, { bendCents: 4800, pressure: 0, timbre: 64 });
  table.tune(note.tunedKey);
  table.tune(note.tunedKey);
  expect(counters.clampedBends).toBe(1);
});

test('a key gets the pressure of its finger where it has another, and none for a note without a finger', () => {
  const { synth, table, add } = setUp();
  const pressed = add(60, 6000, { bendCents: 0, pressure: 70, timbre: 64 });
  expect(synth.during(() => table.press(pressed))).toEqual([[0xa2, 60, 70]]);
  expect(synth.during(() => table.press(pressed))).toEqual([]);
  const plain = add(60, 6000, NO_EXPRESSION);
  expect(synth.during(() => table.press(plain))).toEqual([[0xa2, 60, 0]]);
});
