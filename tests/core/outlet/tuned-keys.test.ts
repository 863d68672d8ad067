import { describe, expect, it } from 'vitest';
import {
  chooseTunedKey,
  createTunedKeys,
  isTaken,
  type TunedKey,
} from '../../../src/core/outlet/tuned-keys.js';
import { toTuning } from '../../../src/core/outlet/tuning-word.js';

/** A table where each key given holds a note at the pitch given, down on channel 0. */
function tableWith(held: Record<number, number>): TunedKey[] {
  const keys = createTunedKeys();
  for (const [key, cents] of Object.entries(held)) {
    const tunedKey = keys[Number(key)];
    tunedKey.tuning = toTuning(cents);
    const playedKey = Number(key);
    tunedKey.notes.push({
      id: playedKey,
      part: 0,
      playedKey,
      channel: 0,
      tunedKey,
      atMs: 100,
      cents,
      isDown: true,
      isClamped: false,
    });
  }
  return keys;
}

const choose = (keys: TunedKey[], playedKey: number, cents: number, channel = 0, atMs = 100): number =>
  chooseTunedKey(keys, playedKey, cents, toTuning(cents), channel, atMs).key;

describe('chooseTunedKey', () => {
  it('keeps the key played within a semitone, else takes the nearest', () => {
    expect(choose(createTunedKeys(), 60, 6100)).toBe(60);
    expect(choose(createTunedKeys(), 60, 6101)).toBe(61);
  });

  it('takes the nearest free neighbour, two keys away at most', () => {
    expect(choose(tableWith({ 60: 6000 }), 60, 5978)).toBe(59);
    expect(choose(tableWith({ 60: 6000 }), 60, 6022)).toBe(61);
    expect(choose(tableWith({ 60: 6000, 59: 5900, 61: 6100 }), 60, 5978)).toBe(58);
    expect(choose(tableWith({ 60: 6000, 59: 5900, 61: 6100, 58: 5800 }), 60, 5978)).toBe(62);
    expect(choose(tableWith({ 60: 6000, 59: 5900, 61: 6100, 58: 5800, 62: 6200 }), 60, 5978)).toBe(60);
  });

  it('shares a key at the same pitch with what another channel began at the same time, not with its own', () => {
    expect(choose(tableWith({ 60: 6000 }), 60, 6000, 1)).toBe(60);
    expect(choose(tableWith({ 60: 6000 }), 60, 6000, 1, 101)).toBe(59);
    expect(choose(tableWith({ 60: 6000 }), 60, 6000, 0)).not.toBe(60);
  });

  it('strikes a key again that only a pedal holds, at the same pitch', () => {
    const keys = tableWith({ 60: 6000 });
    keys[60].notes[0].isDown = false;
    expect(choose(keys, 60, 6000)).toBe(60);
    expect(isTaken(keys[60], toTuning(6001), 0, 100)).toBe(true);
  });

  it('stays on the keyboard', () => {
    expect(choose(tableWith({ 127: 12_700 }), 127, 12_760)).toBe(126);
    expect(choose(tableWith({ 0: 0 }), 0, -50)).toBe(1);
  });
});
