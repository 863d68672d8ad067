import { META, type Track, type TrackEvent } from '../../src/core/midi/index.js';

/** A channel message at the start of a track. */
export const message = (status: number, data1: number, data2: number): TrackEvent => ({
  kind: 'channel',
  tick: 0,
  status,
  data1,
  data2,
});

export const track = (...events: TrackEvent[]): Track => ({ kind: 'track', events });

/** An MPE Configuration Message (RPN 6), MPE 1.1. */
export const zone = (manager: number, members: number): TrackEvent[] => [
  message(0xb0 | manager, 101, 0),
  message(0xb0 | manager, 100, 6),
  message(0xb0 | manager, 6, members),
];

/** The port that a track is for. */
export const port = (number: number): TrackEvent => ({
  kind: 'meta',
  tick: 0,
  type: META.port,
  data: Uint8Array.of(number),
});
