import { describe, expect, test } from 'vitest';
import { NO_EXPRESSION } from '../../../src/core/outlet/fingers.js';
import { DownNotes } from '../../../src/core/outlet/member-notes.js';
import {
  chooseTunedKey,
  createTunedKeys,
  isTaken,
  type TunedKey,
  type TunedNote,
} from '../../../src/core/outlet/tuned-keys.js';
import { toTuning } from '../../../src/core/outlet/tuning-word.js';

/** A tuning table, and what is down on each channel. */
interface Table {
  readonly keys: TunedKey[];
  readonly down: DownNotes<TunedNote>[];
}

const emptyTable = (): Table => ({ keys: createTunedKeys(), down: [new DownNotes(), new DownNotes()] });

/** A table where each key given holds a note at the pitch given, down on channel 0. */
function tableWith(held: Record<number, number>): Table {
  const table = emptyTable();
  for (const [key, cents] of Object.entries(held)) {
    const tunedKey = table.keys[Number(key)];
    tunedKey.tuning = toTuning(cents);
    const playedKey = Number(key);
    const note: TunedNote = {
      id: playedKey,
      part: 0,
      playedKey,
      key: playedKey,
      channel: 0,
      tunedKey,
      atMs: 100,
      cents,
      expression: NO_EXPRESSION,
      isClamped: false,
      before: undefined,
      after: undefined,
      nextDown: undefined,
    };
    tunedKey.notes.add(note);
    table.down[0].add(note);
  }
  return table;
}

const choose = ({ keys, down }: Table, playedKey: number, cents: number, channel = 0, atMs = 100): number =>
  chooseTunedKey(keys, playedKey, cents, toTuning(cents), down[channel], atMs).key;

describe('chooseTunedKey', () => {
  test('takes the key played within a semitone, else the nearest', () => {
    expect(choose(emptyTable(), 60, 6100)).toBe(60);
    expect(choose(emptyTable(), 60, 6101)).toBe(61);
  });

  test('takes the nearest free neighbour, two keys away at most', () => {
    expect(choose(tableWith({ 60: 6000 }), 60, 5978)).toBe(59);
    expect(choose(tableWith({ 60: 6000 }), 60, 6022)).toBe(61);
    expect(choose(tableWith({ 60: 6000, 59: 5900, 61: 6100 }), 60, 5978)).toBe(58);
    expect(choose(tableWith({ 60: 6000, 59: 5900, 61: 6100, 58: 5800 }), 60, 5978)).toBe(62);
    expect(choose(tableWith({ 60: 6000, 59: 5900, 61: 6100, 58: 5800, 62: 6200 }), 60, 5978)).toBe(60);
  });

  test('shares a key at the same pitch with a note of another channel begun at the same time, not with its own', () => {
    expect(choose(tableWith({ 60: 6000 }), 60, 6000, 1)).toBe(60);
    expect(choose(tableWith({ 60: 6000 }), 60, 6000, 1, 101)).toBe(59);
    expect(choose(tableWith({ 60: 6000 }), 60, 6000, 0)).not.toBe(60);
  });

  test('strikes a key again that only a pedal holds, at the same pitch', () => {
    const table = tableWith({ 60: 6000 });
    const [down] = table.down;
    down.remove(down.at(60)!);
    expect(choose(table, 60, 6000)).toBe(60);
    expect(isTaken(table.keys[60], toTuning(6001), down, 100)).toBe(true);
  });

  test('stays on the keyboard', () => {
    expect(choose(tableWith({ 127: 12_700 }), 127, 12_760)).toBe(126);
    expect(choose(tableWith({ 0: 0 }), 0, -50)).toBe(1);
  });
});
