import { expect, test } from 'vitest';
import { DriftReader } from '../../../src/app/live/drift-reader.js';
import { keysOf, Playing } from '../../support/play.js';

const PUMP = ['C3 G4 C5 E5', 'A3 A4 C5 E5', 'D3 A4 D5 F5', 'G3 G4 D5 B4', 'C3 G4 C5 E5'].map(keysOf);

test('what is left of the drift is read of the chord that sounds, and in silence of the one that sounded last', () => {
  const music = new Playing({ strategy: 'free' });
  const drift = new DriftReader();
  expect([drift.leftCents(music.tuner), drift.fromHomeCents]).toEqual([0, 0]);
  for (const keys of PUMP) music.chord(keys, keys, 2000);
  drift.look(music.tuner);
  const fromHome = music.driftCents();
  expect(drift.leftCents(music.tuner)).toBeCloseTo(-21.506, 3);
  expect(drift.fromHomeCents).toBe(fromHome);
  music.lift(PUMP[0]).wait(100);
  drift.look(music.tuner);
  expect(music.tuner.notes).toEqual([]);
  expect(drift.leftCents(music.tuner)).toBeCloseTo(-21.506, 3);
  expect(drift.fromHomeCents).toBe(fromHome);
});
