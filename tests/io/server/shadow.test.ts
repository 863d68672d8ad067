import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LineEar } from '../../../src/app/line.js';
import type { CarriageEar } from '../../../src/app/live/carriage-tap.js';
import type { Action } from '../../../src/app/live/live-settings.js';
import { withStrategy } from '../../../src/app/live/live-settings.js';
import { STRATEGIES } from '../../../src/core/feed/index.js';
import { reasonOf, type TunerSettings } from '../../../src/core/tuner/index.js';
import { ROW } from '../../../src/io/server/index.js';
import { Shadow } from '../../../src/io/server/shadow.js';
import { times } from '../../support/properties.js';
import { LAST_CHORD, TIED_PUMP } from '../../support/pumps.js';
import { Stage, stageSettings } from '../../support/stage.js';

const LEEWAYS = { pull: 2, anchored: 8 };

/** A session on a stage, and a shadow that is told what it does. */
class Pair {
  readonly stage: Stage;
  shadow: Shadow;

  constructor() {
    const settings = stageSettings({ outlets: stageSettings().outlets });
    const tell = (...row: number[]) => void this.shadow?.take(Float64Array.from(row));
    const ear: LineEar = {
      heard: (atMs, part, status, data1, data2) =>
        tell(ROW.heard, atMs, part, (status << 16) | (data1 << 8) | data2),
      silenced: (atMs, part) => tell(ROW.silenced, atMs, part, 0),
      wentHome: (atMs, when) => tell(when === 'now' ? ROW.homeNow : ROW.homeNext, atMs, 0, 0),
      heldDrift: (atMs, isHeld) => tell(ROW.heldDrift, atMs, isHeld ? 1 : 0, 0),
      restarted: () => tell(ROW.restarted, 0, 0, 0),
      retold: (tuner) => this.shadow.retell(tuner, LEEWAYS),
      adjusted: (atMs, tuner) => this.shadow.retell(tuner, LEEWAYS, atMs),
    };
    const carriage: CarriageEar = {
      sentOn: (channel) => tell(ROW.sentOn, 0, channel, 0),
      sentBend: (channel, bend) => tell(ROW.sentBend, 0, channel, bend),
    };
    this.shadow = new Shadow(settings.tuner, LEEWAYS);
    this.stage = new Stage(settings, undefined, { ear, carriage });
  }

  /** What sounds in the session and in its shadow, in full. */
  compare(): void {
    const { tuner } = this.stage.session.line;
    const { tuners, strategy } = this.shadow;
    this.shadow.take(Float64Array.of(ROW.time, this.stage.nowMs, 0, 0));
    this.stage.session.tick();
    const twin = tuners[strategy];
    expect(strategy).toBe(tuner.settings.strategy);
    // A sum over time differs in its last bit with where the time was cut.
    const toSum = (sum: number) => Number(sum.toFixed(9));
    const of = (one: typeof tuner) => ({
      notes: one.notes.map((note) => ({
        ...note,
        explanation: reasonOf(note),
        impurityCentSeconds: toSum(note.impurityCentSeconds),
      })),
      memory: one.memory,
      ledger: {
        ...one.ledger,
        totals: {
          ...one.ledger.totals,
          impurityCentSeconds: toSum(one.ledger.totals.impurityCentSeconds),
        },
      },
      offset: one.offset,
      nextId: one.nextId,
      driftHeld: one.driftHeld,
      homing: one.homing,
    });
    expect(of(twin)).toEqual(of(this.stage.session.line.tuner));
  }
}

const ACTIONS: readonly Action[] = [
  'home-now',
  'home-next',
  'panic',
  'next-strategy',
  'limit-up',
  'limit-down',
  'hold-drift',
  'bypass',
  'tonic-from-bass',
];

const CHANGES: readonly Partial<TunerSettings>[] = [
  { rateCentsPerSecond: 40 },
  { held: 'stay' },
  { strikeWindowMs: 0 },
  { leewayCents: 1 },
  { recallCents: 12 },
];

const doing = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.record({ what: fc.constant('on' as const), key: fc.integer({ min: 50, max: 74 }) }),
  },
  {
    weight: 10,
    arbitrary: fc.record({ what: fc.constant('off' as const), key: fc.integer({ min: 50, max: 74 }) }),
  },
  { weight: 3, arbitrary: fc.record({ what: fc.constant('pedal' as const), key: fc.constantFrom(0, 127) }) },
  { weight: 3, arbitrary: fc.record({ what: fc.constant('act' as const), key: fc.nat(ACTIONS.length - 1) }) },
  { weight: 3, arbitrary: fc.record({ what: fc.constant('set' as const), key: fc.nat(CHANGES.length - 1) }) },
  { weight: 1, arbitrary: fc.record({ what: fc.constant('unplug' as const), key: fc.constant(0) }) },
  {
    weight: 8,
    arbitrary: fc.record({ what: fc.constant('wait' as const), key: fc.constantFrom(1, 17, 33, 120, 900) }),
  },
);

function play(pair: Pair, { what, key }: { what: string; key: number }): void {
  const { stage } = pair;
  if (what === 'on') stage.strike(key);
  else if (what === 'off') stage.lift(key);
  else if (what === 'pedal') stage.keys.feed(0xb0, 64, key);
  else if (what === 'act') stage.session.act({ action: ACTIONS[key], strategy: undefined });
  else if (what === 'set') stage.session.retell({ ...stage.session.settings.tuner, ...CHANGES[key] });
  else if (what === 'unplug') {
    stage.keys.unplug();
    stage.wait(300);
    stage.keys = stage.machine.plugKeys('Keys');
    stage.wait(3000);
  } else stage.wait(key);
}

describe('the shadow of a session', () => {
  it('stands where the session stands, to the last bit, whatever is played and asked for', () => {
    fc.assert(
      fc.property(fc.array(doing, { minLength: 1, maxLength: 60 }), (doings) => {
        const pair = new Pair();
        for (const one of doings) play(pair, one);
        pair.compare();
      }),
      { numRuns: times(60) },
    );
  });

  it('goes on from what was kept of it as if nothing had happened', () => {
    fc.assert(
      fc.property(
        fc.array(doing, { minLength: 1, maxLength: 30 }),
        fc.array(doing, { minLength: 1, maxLength: 30 }),
        (before, after) => {
          const pair = new Pair();
          for (const one of before) play(pair, one);
          pair.stage.wait(200);
          pair.shadow.take(Float64Array.of(ROW.time, pair.stage.nowMs, 0, 0));
          const kept = pair.shadow.keep();
          if (kept === undefined) throw new Error('no strike can be open');
          pair.shadow = new Shadow(pair.stage.session.settings.tuner, LEEWAYS, structuredClone(kept));
          for (const one of after) play(pair, one);
          pair.compare();
        },
      ),
      { numRuns: times(40) },
    );
  });

  it('all three strategies run, and differ: a pump drifts freely, and not where it is anchored', () => {
    const pair = new Pair();
    for (let pass = 0; pass < 2; pass++) {
      for (const { lift, strike } of TIED_PUMP) {
        pair.stage.lift(...lift);
        pair.stage.strike(...strike);
        pair.stage.wait(900);
      }
      pair.stage.lift(...LAST_CHORD).wait(200);
    }
    pair.shadow.take(Float64Array.of(ROW.time, pair.stage.nowMs, 0, 0));
    const offsets = STRATEGIES.map((which) => pair.shadow.tuners[which].offset.cents);
    // Free took its place at the first strike and stays there; anchored has made up for two commas but its leeway.
    expect(Math.abs(offsets[0])).toBeLessThan(5);
    expect(offsets[2] - offsets[0]).toBeGreaterThan(20);
    expect(new Set(pair.shadow.takeEntries().map(({ strategy }) => strategy)).size).toBeGreaterThan(1);
  });

  it('when the strategy changes, the music goes on from where it stands', () => {
    const pair = new Pair();
    pair.stage.strike(60, 64, 67).wait(500);
    pair.stage.session.retell(withStrategy(pair.stage.session.settings.tuner, 'free', undefined));
    pair.stage.strike(60, 64).wait(100);
    pair.compare();
    expect(pair.shadow.strategy).toBe('free');
  });

  it('knows the channel and the bend of each note as they were sent', () => {
    const pair = new Pair();
    pair.stage.strike(60).wait(50).strike(64).wait(50);
    const notes = pair.shadow.tuners.anchored.notes;
    const model = pair.stage.model();
    for (const note of notes) {
      const sent = pair.shadow.sent.of(note.id);
      const voice = model.voices.find(({ key }) => key === note.key);
      expect(voice).toBeDefined();
      expect(sent?.channel).toBe(voice?.channel);
      expect(sent?.velocity).toBe(80);
    }
    const [, third] = notes.map(({ id }) => pair.shadow.sent.of(id)?.bend);
    // 8192 + 8192 · (-13.686 + where the body stands) / 4800 cents: the third lies lower than its key.
    expect(third).toBeLessThan(8192);
    pair.stage.lift(60, 64).wait(50);
    expect(notes.map(({ id }) => pair.shadow.sent.of(id))).toEqual([]);
  });
});
