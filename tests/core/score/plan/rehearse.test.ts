import { expect, test } from 'vitest';
import { toPartsByTrack } from '../../../../src/core/score/index.js';
import { rehearse } from '../../../../src/core/score/plan/rehearse.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { smallPieces, toTracks } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

test('a rehearsal has every note from its strike to its end, whatever is decided on it', () => {
  forAll([smallPieces(10)], (notes) => {
    const tracks = toTracks(notes);
    const lives = (['free', 'anchored'] as const).map((strategy) =>
      rehearse(tracks, toPartsByTrack(tracks), (tick) => tick, toSettings({ strategy })),
    );
    for (const { notes: heard, byEnd, strikesMs } of lives) {
      const ordered = notes.toSorted((a, b) => a.onMs - b.onMs);
      expect(heard.map(({ note, endedMs }) => [note.struckMs, endedMs]).sort()).toEqual(
        ordered.map(({ onMs, offMs }) => [onMs, offMs]).sort(),
      );
      expect(strikesMs).toEqual([...new Set(ordered.map(({ onMs }) => onMs))]);
      for (const { note, strike, endedMs, until } of heard) {
        expect(strikesMs[strike]).toBe(note.struckMs);
        // The strikes that hear it are those that begin before it ends.
        expect(until).toBe(strikesMs.filter((atMs) => atMs < endedMs).length);
      }
      expect(byEnd).toHaveLength(heard.length);
    }
    const [free, anchored] = lives.map(({ notes: all }) => all.map(({ strike, until }) => [strike, until]));
    expect(free).toEqual(anchored);
  });
});
