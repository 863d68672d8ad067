import { expect, test } from 'vitest';
import { createTuner, STRATEGIES } from '../../../src/core/tuner/index.js';
import { keysOf, Playing } from '../../support/play.js';

test.each(STRATEGIES)(
  'a tuner that numbers its notes from a thousand decides as one from 0, under %s',
  (strategy) => {
    const [one, other] = [0, 1000].map((firstId) => {
      const music = new Playing({ strategy });
      Object.assign(music.tuner, createTuner(music.tuner.settings, undefined, firstId));
      for (const keys of ['C3 G4 C5 E5', 'A3 A4 C5 E5', 'D3 A4 D5 F5', 'G3 G4 D5 B4'].map(keysOf))
        music.chord(keys, keys, 4000);
      return music;
    });
    expect(other.tuner.notes[0].id).toBe(one.tuner.notes[0].id + 1000);
    expect(other.tuner.fifthsMean).toBe(one.tuner.fifthsMean);
    expect(other.tuner.ledger).toEqual(one.tuner.ledger);
  },
);
