import { describe, expect, test } from 'vitest';
import { toTrackZones } from '../../../src/core/score/track-zones.js';
import { message, port, track, zone } from '../../support/track-events.js';

const note = message(0x93, 60, 80);

describe('the zones of tracks', () => {
  test.each([
    ['without a configuration message are none', [track(note)], 0, [3, 0]],
    ['are those that a track configures', [track(...zone(0, 15), note)], 0, [0, 3]],
    ['are of that track alone, if it has notes', [track(...zone(0, 15), note), track(note)], 1, [3, 0]],
    ['are of all tracks, if it has none', [track(...zone(0, 15)), track(note)], 1, [0, 3]],
    ['are of its port alone', [track(port(1), ...zone(0, 15)), track(note)], 1, [3, 0]],
    ['stay where a zone ends', [track(...zone(0, 15), note, ...zone(0, 0))], 0, [0, 3]],
    ['stay where a zone becomes smaller', [track(...zone(0, 15), note, ...zone(0, 2))], 0, [0, 3]],
    ['may be two', [track(...zone(0, 2), ...zone(15, 12), note)], 0, [15, 12]],
  ] as const)('%s', (_, tracks, index, [manager, finger]) => {
    const zones = toTrackZones(tracks);
    expect([zones.managerOf(index, 3), zones.fingerOf(index, 3)]).toEqual([manager, finger]);
  });

  test('are the same for tracks that share a port, and not for two tracks that configure their own', () => {
    const zones = toTrackZones([
      track(note),
      track(note),
      track(...zone(0, 15), note),
      track(...zone(0, 15), note),
    ]);
    expect([zones.areOne(0, 1), zones.areOne(0, 2), zones.areOne(2, 3)]).toEqual([true, false, false]);
  });
});
