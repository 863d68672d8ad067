import fc from 'fast-check';
import { expect, test } from 'vitest';
import { EndingWatcher } from '../../src/app/ending.js';
import { Line } from '../../src/core/line/index.js';
import { NOTE_OFF, NOTE_ON } from '../../src/core/midi/index.js';
import { createTuner, type SoundingNote, toCommonDrift, toSettings } from '../../src/core/tuner/index.js';
import { forAll } from '../support/properties.js';

/** Pieces of strikes and releases, in any order; each ends with everything let go. */
const pieces = fc.array(
  fc.array(fc.tuple(fc.boolean(), fc.integer({ min: 50, max: 62 })), { minLength: 1, maxLength: 30 }),
  { minLength: 1, maxLength: 3 },
);

test('the last chord of a piece is what sounds at its last strike, whatever ends afterwards', () => {
  forAll([pieces], (all) => {
    const endings = new EndingWatcher();
    const chords: SoundingNote[][] = [];
    const tuners = all.map((acts) => {
      const line = new Line(createTuner(toSettings({ strategy: 'free' })), () => [], endings);
      let last: SoundingNote[] = [];
      acts.forEach(([isStrike, key], i) => {
        line.message(100 * i, 0, isStrike ? NOTE_ON : NOTE_OFF, key, 80);
        if (isStrike) last = [...line.tuner.notes];
      });
      line.silence(100 * acts.length, 0);
      chords.push(last);
      return line.tuner;
    });
    endings.toEndings(tuners).forEach((ending, i) => {
      const chord = chords[i];
      if (chord.length === 0) {
        expect(ending).toBeUndefined();
        return;
      }
      const keys = chord.map((note) => note.key).sort((a, b) => a - b);
      expect(ending?.drift).toEqual(toCommonDrift(tuners[i].ledger, keys));
      // Where a glide that was still running would have led.
      const away = chord.map(
        (note) => note.reportedCents - (note.lagCents - note.leanCents) - 100 * note.key,
      );
      expect(ending?.fromHomeCents).toBeCloseTo(away.reduce((sum, cents) => sum + cents) / chord.length, 9);
    });
  });
});
