import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type PlanWish,
  planWhole,
  recountMoments,
  STOCK_PLAN,
  toPartsByTrack,
} from '../../../../src/core/score/index.js';
import { planRatios, toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { toShiftPrice } from '../../../../src/core/score/plan/shift-price.js';
import { formatRatio } from '../../../../src/core/theory/index.js';
import { STRATEGIES, type TunerSettings, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords, toTracks } from '../../../support/planning.js';

function tell(notes: readonly SmallNote[], settings: TunerSettings, wish: PlanWish = STOCK_PLAN) {
  const tracks = toTracks(notes);
  const parts = toPartsByTrack(tracks);
  const toMs = (tick: number) => tick;
  const plan = planWhole(tracks, parts, toMs, settings, wish);
  return { plan, ...recountMoments(tracks, parts, toMs, settings, plan.guide) };
}

describe('a piece planned as a whole', () => {
  it('is what the tuner plays: every note stands where the plan has it', () => {
    const strategies = fc.constantFrom(...STRATEGIES);
    fc.assert(
      fc.property(smallPieces(12), strategies, (notes, strategy) => {
        const { plan, moments, tuner } = tell(notes, toSettings({ strategy }));
        let id = 0;
        for (const moment of moments) {
          // Struck notes are numbered in the order they come: within a moment by key here, since tracks sort so.
          const struck = moment.notes.filter(({ presence }) => presence === 'struck');
          const points = new Set(struck.map(({ point }) => formatRatio([0, point[1], point[2], 0, 0, 0])));
          const planned = new Set(
            struck.map(() => {
              const frame = plan.guide.frameOf(id++);
              return frame === undefined ? '' : formatRatio([0, frame[1], frame[2], 0, 0, 0]);
            }),
          );
          expect(points).toEqual(planned);
        }
        expect(id).toBe(tuner.nextId);
      }),
    );
  });

  it('leaves the offset to the first chord under free, and spreads it under the others', () => {
    const notes = toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4']);
    const causes = (strategy: 'free' | 'pull' | 'anchored') => {
      const { moments, closing } = tell(notes, toSettings({ strategy }));
      const entries = [...moments.flatMap((moment) => moment.entries), ...closing];
      return new Set(entries.flatMap((entry) => (entry.kind === 'offset' ? [entry.cause] : [])));
    };
    expect(causes('free')).toEqual(new Set(['first strike']));
    expect(causes('pull')).toEqual(new Set(['first strike', 'plan']));
    expect(causes('anchored')).toEqual(causes('pull'));
  });

  it('asks the more for a shift the fewer the live rule makes, and what is wished on top', () => {
    fc.assert(
      fc.property(smallPieces(12), fc.constantFrom(undefined, 0.5, 3), (notes, shiftPrice) => {
        const settings = toSettings({ strategy: 'free' });
        const { problem, live } = pose(notes, settings);
        const weights = toPlanWeights(settings.weights, toShiftPrice(problem, live, shiftPrice));
        const { cost } = planRatios(problem, [live], { ...settings, weights }, 'open');
        const wish = shiftPrice === undefined ? STOCK_PLAN : { ...STOCK_PLAN, shiftPrice };
        expect(tell(notes, settings, wish).plan.ratios.cost).toBeCloseTo(cost, 9);
      }),
    );
  });

  it('doesn’t know of a strategy but whether it is free', () => {
    const notes = toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4']);
    const cents = (strategy: 'pull' | 'anchored') =>
      tell(notes, toSettings({ strategy, leewayCents: 3 })).moments.map(({ driftCents }) => driftCents);
    expect(cents('pull')).toEqual(cents('anchored'));
  });

  it('has nothing to say of notes it doesn’t know', () => {
    const { guide } = tell(toChords(['C4 E4 G4']), toSettings({ strategy: 'pull' })).plan;
    const told = (id: number) => [guide.frameOf(id), guide.pointOf(id), guide.offsetOf(id)];
    for (const id of [0, 1, 2]) expect(told(id)).not.toContain(undefined);
    expect(told(3)).toEqual([undefined, undefined, undefined]);
  });

  it('keeps to the limit of 3, and brings in 7 by whole chords', () => {
    const notes = toChords(['C4 E4 G4', 'G3 B3 D4 F4', 'C4 E4 G4'], false);
    const sevens = (limit: 3 | 5 | 7) =>
      tell(notes, toSettings({ limit })).moments.flatMap((moment) => moment.notes.map(({ point }) => point));
    expect(sevens(3).every((point) => point[2] === 0 && point[3] === 0)).toBe(true);
    expect(sevens(5).some((point) => point[2] !== 0) && sevens(5).every((point) => point[3] === 0)).toBe(
      true,
    );
    expect(sevens(7).filter((point) => point[3] === 1)).toHaveLength(1);
  });
});
