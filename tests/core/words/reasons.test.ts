import { expect, test } from 'vitest';
import type { Track, TrackEvent } from '../../../src/core/midi/index.js';
import { type MomentNote, recountMoments, toPartsByTrack } from '../../../src/core/score/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { formatReason, toHarmonicMember } from '../../../src/core/words/index.js';

const message = (tick: number, status: number, data1: number, data2 = 64): TrackEvent => ({
  kind: 'channel',
  tick,
  status,
  data1,
  data2,
});
const origin = { fifths: 0 };

/** The notes of the last moment, from the lowest up. */
function hear(...events: TrackEvent[]): readonly MomentNote[] {
  const tracks: Track[] = [{ kind: 'track', events }];
  const settings = toSettings({ limit: 7 });
  const { moments } = recountMoments(tracks, toPartsByTrack(tracks), (tick) => tick, settings, 'live');
  return moments[moments.length - 1].notes;
}

/** G B D F, struck together; a dominant seventh is 4:5:6:7 in limit 7. */
const seventh = [55, 59, 62, 65].map((key) => message(0, 0x90, key));

test('the seventh of a harmonic chord is described as such, with its root', () => {
  const notes = hear(...seventh);
  expect(toHarmonicMember(notes[3], notes)?.harmonic).toBe(7);
  expect(formatReason(notes[3], notes, origin)).toMatch(/; the pure seventh of the harmonic chord on G⁰$/);
  expect(toHarmonicMember(notes[0], notes)).toBeUndefined();
});

test('a tied seventh is not described again, and a note that only a pedal holds rings on', () => {
  const tied = hear(...seventh, message(1000, 0x90, 67));
  expect(formatReason(tied[3], tied, origin)).toBe('tied over');
  expect(toHarmonicMember(tied[3], tied)).toBeUndefined();
  const pedalled = hear(
    ...seventh,
    message(500, 0xb0, 64, 127),
    message(600, 0x80, 65),
    message(1000, 0x90, 67),
  );
  expect(formatReason(pedalled[3], pedalled, origin)).toBe('rings on by the pedal');
});
