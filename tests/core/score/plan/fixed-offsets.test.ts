import { describe, expect, test } from 'vitest';
import {
  DEFAULT_PLAN,
  type PartRole,
  planWhole,
  recountMoments,
  toPartsByTrack,
} from '../../../../src/core/score/index.js';
import { toFixedOffsets } from '../../../../src/core/score/plan/fixed-offsets.js';
import type { PlanProblem } from '../../../../src/core/score/plan/problem.js';
import { ratio, toCents } from '../../../../src/core/theory/index.js';
import { STRATEGIES, toSettings } from '../../../../src/core/tuner/index.js';
import { smallPieces, toChords, toTracks } from '../../../support/planning.js';
import { amongAll, forAll } from '../../../support/properties.js';

test('the offset at a strike is what the fixed notes held there ask for, their mean, and nothing elsewhere', () => {
  const note = (slot: number, key: number, until: number, fixedCents?: number) => ({
    slot,
    key,
    until,
    fixedCents,
  });
  const problem = {
    strikes: [{}, {}, {}],
    slots: [{ strike: 0 }, { strike: 0 }, { strike: 1 }],
    notes: [note(0, 60, 1, 6000), note(1, 64, 3), note(2, 67, 2, 6710), note(2, 79, 2, 7912)],
  } as unknown as PlanProblem;
  const path = ['1/1', '5/4', '3/2'].map((text) => ratio(text));
  const [first, second, third] = toFixedOffsets(problem, path, { referenceCents: 4 });
  expect(first).toBeCloseTo(-4, 6);
  expect(second).toBeCloseTo(11 - 1.955 - 4, 3);
  expect(third).toBeNaN();
});

describe.each(STRATEGIES)('a plan under %s', (strategy) => {
  test('has every new note at its ratio to a single fixed note that sounds, which is at its own pitch', () => {
    const settings = toSettings({ strategy });
    let pairs = 0;
    forAll([smallPieces(10), smallPieces(3)], 150, (notes, low) => {
      const bass = toTracks(low.map((note) => ({ ...note, key: note.key - 24 })));
      const tracks = [...toTracks(notes), ...bass];
      const fixedCents = new Array<number>(12).fill(9);
      const parts = toPartsByTrack(tracks, (track) =>
        track === 0 ? { role: 'tuned' } : { role: 'fixed', fixedCents },
      );
      const { guide } = planWhole(tracks, parts, (tick) => tick, settings, DEFAULT_PLAN);
      const { moments } = recountMoments(tracks, parts, (tick) => tick, settings, guide);
      for (const { notes: chord } of moments) {
        const fixed = chord.filter(({ isFixed }) => isFixed);
        for (const { deviationCents } of fixed) expect(deviationCents).toBeCloseTo(9, 6);
        if (fixed.length !== 1) continue;
        for (const other of chord) {
          if (other.isFixed || other.presence !== 'struck') continue;
          pairs++;
          const apart = toCents(other.fromBass) - toCents(fixed[0].fromBass);
          const sounds = 100 * (other.key - fixed[0].key) + other.deviationCents - fixed[0].deviationCents;
          expect(sounds).toBeCloseTo(apart, 6);
        }
      }
    });
    expect(pairs).toBeGreaterThan(amongAll(100));
  });
});

const EVERY_KEY = new Array<number>(12).fill(9);

test('the first finger of a rolled chord is where the fixed bass will want it, and does not move', () => {
  const tracks = [
    ...toTracks([
      { onMs: 0, offMs: 2000, key: 64 },
      { onMs: 0, offMs: 2000, key: 67 },
    ]),
    ...toTracks([{ onMs: 45, offMs: 2000, key: 48 }]),
  ];
  const parts = toPartsByTrack(tracks, (track) =>
    track === 0 ? { role: 'tuned' } : { role: 'fixed', fixedCents: EVERY_KEY },
  );
  const settings = toSettings({ strategy: 'free' });
  const { guide } = planWhole(tracks, parts, (tick) => tick, settings, DEFAULT_PLAN);
  const { moments } = recountMoments(tracks, parts, (tick) => tick, settings, guide);
  expect(moments).toHaveLength(2);
  expect(moments[0].notes[1].deviationCents).toBeCloseTo(9 + 1.955, 3);
  expect(moments[1].notes[2].deviationCents).toBeCloseTo(9 + 1.955, 3);
});

test('notes that cannot be tuned come back at their pitch, so none is counted as a return of the plan', () => {
  const tracks = toTracks(toChords(['C4 E4 G4', 'C4 E4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4']));
  const settings = toSettings({ strategy: 'free' });
  const returnsOf = (role: PartRole) =>
    planWhole(
      tracks,
      toPartsByTrack(tracks, () => role),
      (tick) => tick,
      settings,
      DEFAULT_PLAN,
    ).ratios.returns;
  expect(returnsOf({ role: 'tuned' })).toBeGreaterThan(0);
  expect(returnsOf({ role: 'fixed', fixedCents: EVERY_KEY })).toBe(0);
});
