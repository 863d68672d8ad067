import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  DEFAULT_PLAN,
  type PlanOptions,
  planWhole,
  recountMoments,
  toPartsByTrack,
} from '../../../../src/core/score/index.js';
import { planRatios, toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { toShiftPrice } from '../../../../src/core/score/plan/return-prices.js';
import { formatRatio } from '../../../../src/core/theory/index.js';
import {
  createTuner,
  type Guide,
  type SoundingNote,
  STRATEGIES,
  step,
  type Tuner,
  type TunerOut,
  type TunerSettings,
  toMeanFromHome,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords, toTracks } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

function tell(notes: readonly SmallNote[], settings: TunerSettings, options: PlanOptions = DEFAULT_PLAN) {
  const tracks = toTracks(notes);
  const parts = toPartsByTrack(tracks);
  const toMs = (tick: number) => tick;
  const plan = planWhole(tracks, parts, toMs, settings, options);
  return { plan, ...recountMoments(tracks, parts, toMs, settings, plan.guide) };
}

/** Plays a piece to a tuner that has a guide, up to some moment. */
function play(
  notes: readonly SmallNote[],
  settings: TunerSettings,
  guide: Guide,
  out: TunerOut & { watch(tuner: Tuner): void },
  untilMs = Infinity,
): Tuner {
  const tuner = createTuner(settings, guide);
  const events = notes
    .flatMap(({ onMs, offMs, key }) => [
      { kind: 'note-on', atMs: onMs, key, part: 0 } as const,
      { kind: 'note-off', atMs: offMs, key, part: 0 } as const,
    ])
    // Of one moment, what ends comes first.
    .sort((a, b) => a.atMs - b.atMs || Number(a.kind === 'note-on') - Number(b.kind === 'note-on'));
  events.forEach((event, i) => {
    if (event.atMs > untilMs) return;
    step(tuner, event, out);
    // When all of a moment has come.
    if (events[i + 1]?.atMs !== event.atMs) out.watch(tuner);
  });
  if (untilMs < Infinity) step(tuner, { kind: 'time', atMs: untilMs }, out);
  return tuner;
}

/** Where the mean of what sounds stands whenever a strike has been placed. */
class BodyWatcher implements TunerOut {
  strikes = 0;
  farthestCents = 0;
  readonly #settings: TunerSettings;

  constructor(settings: TunerSettings) {
    this.#settings = settings;
  }

  watch({ notes, offset }: Tuner): void {
    const { held, home } = this.#settings;
    const struck = notes.filter(({ settled }) => !settled);
    if (struck.length === 0) return;
    this.strikes += 1;
    const chord = held === 'follow' ? notes : struck;
    const away = chord.map((note) => note.deviationCents - home.deviationCents[note.keyClass] + offset.cents);
    const mean = away.reduce((a, b) => a + b) / away.length;
    this.farthestCents = Math.max(this.farthestCents, Math.abs(mean));
  }

  start(): void {}
  retune(): void {}
  release(): void {}
  end(): void {}
  enter(): void {}
}

/** How fast notes move while they sound, once their strike is over. */
class PaceWatcher implements TunerOut {
  moves = 0;
  mostCentsPerSecond = 0;
  readonly #last = new Map<number, { atMs: number; cents: number }>();

  start(atMs: number, { id }: Readonly<SoundingNote>, cents: number): void {
    this.#last.set(id, { atMs, cents });
  }

  retune(atMs: number, { id, struckMs }: Readonly<SoundingNote>, cents: number): void {
    const before = this.#last.get(id)!;
    this.#last.set(id, { atMs, cents });
    if (atMs === struckMs) return;
    const pace = (1000 * Math.abs(cents - before.cents)) / Math.max(10, atMs - before.atMs);
    this.moves += 1;
    this.mostCentsPerSecond = Math.max(this.mostCentsPerSecond, pace);
  }

  watch(): void {}
  release(): void {}
  end(): void {}
  enter(): void {}
}

describe('a piece planned as a whole', () => {
  test('is what the tuner plays: every note is where the plan has it', () => {
    const strategies = fc.constantFrom(...STRATEGIES);
    forAll([smallPieces(12), strategies], (notes, strategy) => {
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
    });
  });

  test('leaves the offset to the first chord under free and to the pull under pull, and spreads it under anchored', () => {
    const notes = toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4']);
    const causes = (strategy: 'free' | 'pull' | 'anchored') => {
      const { moments, closing } = tell(notes, toSettings({ strategy, leewayCents: 1 }));
      const entries = [...moments.flatMap((moment) => moment.entries), ...closing];
      return new Set(entries.flatMap((entry) => (entry.kind === 'offset' ? [entry.cause] : [])));
    };
    expect(causes('free')).toEqual(new Set(['first strike']));
    expect(causes('pull')).toEqual(new Set(['first strike', 'pull']));
    expect(causes('anchored')).toEqual(new Set(['first strike', 'plan']));
  });

  test('under anchored never lets the mean farther from home than the leeway, at any strike', () => {
    const leeways = fc.constantFrom(0, 1, 8, 30);
    const holding = fc.constantFrom('follow', 'stay');
    forAll([smallPieces(16), leeways, holding], (notes, leewayCents, held) => {
      const settings = toSettings({ strategy: 'anchored', leewayCents, held });
      const { plan } = tell(notes, settings);
      const means = new BodyWatcher(settings);
      play(notes, settings, plan.guide, means);
      expect(means.strikes).toBeGreaterThan(0);
      expect(means.farthestCents).toBeLessThanOrEqual(leewayCents + 1e-9);
    });
  });

  test('under pull moves what sounds no faster than its rate, and in time brings it home', () => {
    // A comma low after one pass, and then a long last chord.
    const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'];
    const notes = toChords([...pump, 'C3 E4 G4 C5'], true, 4000).map((note) =>
      note.offMs === 20_000 ? { ...note, offMs: 40_000 } : note,
    );
    const settings = toSettings({ strategy: 'pull', rateCentsPerSecond: 3 });
    const { plan } = tell(notes, settings);
    const watcher = new PaceWatcher();
    const tuner = play(notes, settings, plan.guide, watcher, 39_999);
    expect(watcher.moves).toBeGreaterThan(100);
    expect(watcher.mostCentsPerSecond).toBeLessThanOrEqual(3 + 1e-6);
    expect(Math.abs(toMeanFromHome(tuner))).toBeLessThanOrEqual(settings.leewayCents + 1e-9);
  });

  test('asks the more for a shift the fewer the live rule makes, and what is wished on top', () => {
    forAll([smallPieces(12), fc.constantFrom(undefined, 0.5, 3)], (notes, shiftPrice) => {
      const settings = toSettings({ strategy: 'free' });
      const { problem, live } = pose(notes, settings);
      const weights = toPlanWeights(settings.weights, toShiftPrice(problem, live, shiftPrice));
      const { cost } = planRatios(problem, [live], { ...settings, weights });
      const options = shiftPrice === undefined ? DEFAULT_PLAN : { ...DEFAULT_PLAN, shiftPrice };
      expect(tell(notes, settings, options).plan.ratios.cost).toBeCloseTo(cost, 9);
    });
  });

  test('has nothing for notes that it doesn’t know', () => {
    const { guide } = tell(toChords(['C4 E4 G4']), toSettings({ strategy: 'anchored' })).plan;
    const told = (id: number) => [guide.frameOf(id), guide.pointOf(id), guide.offsetOf(id, 0)];
    for (const id of [0, 1, 2]) expect(told(id)).not.toContain(undefined);
    expect(told(3)).toEqual([undefined, undefined, undefined]);
  });

  test('stays within the limit of 3, and uses 7 in whole chords only', () => {
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
