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

test('messages are visited for their part, pedals for every part that they hold, and percussion not at all', () => {
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
    numbers(`0 0 0 0x90 60 80, 0 0 1 0x90 67 80, 10 20 0 0xb0 64 127, 10 20 1 0xb0 64 127, 20 40 0 0x80 60 0,
    30 60 1 0x80 67 0`),
  );
  expect(endMs).toBe(60);
});
