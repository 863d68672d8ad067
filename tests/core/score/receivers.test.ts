import { describe, expect, test } from 'vitest';
import { META, type TrackEvent } from '../../../src/core/midi/index.js';
import { toReceivers } from '../../../src/core/score/receivers.js';
import { message, port, track, zone } from '../../support/track-events.js';

const note = message(0x90, 60, 80);
const tuning: TrackEvent = {
  kind: 'sysex',
  tick: 0,
  lead: 0xf0,
  data: Uint8Array.of(0x7f, 0x7f, 8, 2, 0, 1, 60, 60, 1, 0, 0xf7),
};

describe('receivers', () => {
  test('are one for all tracks', () => {
    expect(toReceivers([track(), track(note), track(note)])).toEqual({ of: [0, 0, 0], count: 1 });
  });

  test('are one for each zone, and one for each track that tunes its keys', () => {
    const tracks = [track(), track(...zone(0, 15), note), track(...zone(15, 4), note), track(tuning, note)];
    expect(toReceivers(tracks)).toEqual({ of: [0, 1, 2, 3], count: 4 });
  });

  test('are one for a zone that another track makes for the notes', () => {
    expect(toReceivers([track(...zone(0, 15)), track(note)]).count).toBe(1);
  });

  test('are one for each port', () => {
    expect(toReceivers([track(port(0), note), track(port(3), note), track(note)])).toEqual({
      of: [0, 1, 0],
      count: 2,
    });
  });

  test('are not made by a bend range, a zone of no members or an unregistered parameter', () => {
    const range = [message(0xb0, 101, 0), message(0xb0, 100, 0), message(0xb0, 6, 12), note];
    const other = [
      message(0xb0, 101, 0),
      message(0xb0, 100, 6),
      message(0xb0, 99, 6),
      message(0xb0, 6, 6),
      note,
    ];
    expect(
      toReceivers([track(note), track(...range), track(...zone(0, 0), note), track(...other)]).count,
    ).toBe(1);
  });
});

test('a track with a port event without a number is on the first port', () => {
  const nameless: TrackEvent = { kind: 'meta', tick: 0, type: META.port, data: new Uint8Array(0) };
  expect(toReceivers([track(nameless, note), track(port(0), note), track(port(1), note)])).toEqual({
    of: [0, 0, 1],
    count: 2,
  });
});
