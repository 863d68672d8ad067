import { expect, test } from 'vitest';
import type { Track, TrackEvent } from '../../../src/core/midi/index.js';
import { toPartsByTrack } from '../../../src/core/score/index.js';
import { visitMessages } from '../../../src/core/score/visit-messages.js';
import { numbers } from '../../support/numbers.js';

const say = (tick: number, status: number, data1: number, data2: number): TrackEvent => ({
  kind: 'channel',
  tick,
  status,
  data1,
  data2,
});

test('messages are visited for their part, as those of no finger, pedals for every part that they hold, and percussion not at all', () => {
  const tracks: Track[] = [
    { kind: 'track', events: [say(0, 0x90, 60, 80), say(10, 0xb0, 64, 127), say(20, 0x80, 60, 0)] },
    { kind: 'track', events: [say(0, 0x90, 67, 80), say(5, 0x99, 36, 80), say(30, 0x80, 67, 0)] },
  ];
  const seen: number[][] = [];
  const endMs = visitMessages(
    tracks,
    toPartsByTrack(tracks),
    (tick) => 2 * tick,
    (tick, atMs, { index }, ...message) => seen.push([tick, atMs, index, ...message]),
  );
  expect(seen).toEqual(
    numbers(`0 0 0 0x90 60 80 0, 0 0 1 0x90 67 80 0, 10 20 0 0xb0 64 127 0, 10 20 1 0xb0 64 127 0,
    20 40 0 0x80 60 0 0, 30 60 1 0x80 67 0 0`),
  );
  expect(endMs).toBe(60);
});

test('messages of an MPE zone are visited for its one part, each with its finger', () => {
  const zone = [say(0, 0xb0, 101, 0), say(0, 0xb0, 100, 6), say(0, 0xb0, 6, 15)];
  const played = [say(1, 0xd9, 40, 0), say(1, 0x99, 60, 80), say(2, 0xb0, 64, 127), say(3, 0x89, 60, 0)];
  const tracks: Track[] = [{ kind: 'track', events: [...zone, ...played] }];
  const seen: number[][] = [];
  visitMessages(
    tracks,
    toPartsByTrack(tracks),
    (tick) => tick,
    (tick, _, { index }, ...message) => tick > 0 && seen.push([tick, index, ...message]),
  );
  expect(seen).toEqual(numbers('1 0 0xd9 40 0 9, 1 0 0x99 60 80 9, 2 0 0xb0 64 127 0, 3 0 0x89 60 0 9'));
});
