import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { withStrategy } from '../../../src/app/live/live-settings.js';
import { SessionRows, TunerReplicas } from '../../../src/core/monitor/index.js';
import { STRATEGIES } from '../../../src/core/protocol/index.js';
import type { Action } from '../../../src/core/settings/setting.js';
import { reasonOf, type Strategy, type TunerSettings, toSettings } from '../../../src/core/tuner/index.js';
import { forAll } from '../../support/properties.js';
import { LAST_CHORD, TIED_PUMP } from '../../support/pumps.js';
import { Stage, stageSettings } from '../../support/stage.js';

const LEEWAYS = { pull: 2, anchored: 8 };
const ANCHORED = toSettings({ strategy: 'anchored', leewayCents: 3 });

/** A session on a stage, and replicas that take what it tells. */
class Pair {
  readonly stage: Stage;
  replicas: TunerReplicas;

  constructor() {
    const settings = stageSettings({ outlets: stageSettings().outlets });
    const rows = new SessionRows(1);
    const tell = () => void this.replicas.takeRows(rows.take());
    this.replicas = new TunerReplicas(settings.tuner, LEEWAYS);
    this.stage = new Stage(settings, undefined, {
      listener: {
        event: (event) => {
          if (event.kind === 'settings')
            return this.replicas.changeSettings(event.atMs, event.settings, LEEWAYS);
          rows.event(event);
          tell();
        },
      },
      routing: {
        noteSent: (channel) => {
          rows.noteSent(channel);
          tell();
        },
        bendSent: (channel, bend) => {
          rows.bendSent(channel, bend);
          tell();
        },
      },
    });
  }

  /** Everything due by now happens in the replicas. */
  catchUp(): void {
    this.replicas.take({ kind: 'time', atMs: this.stage.nowMs });
  }

  /** What sounds in the session and in its replica, in full. */
  compare(): void {
    const { tuner } = this.stage.session.line;
    const { tuners, strategy } = this.replicas;
    this.catchUp();
    this.stage.session.tick();
    const twin = tuners[strategy];
    expect(strategy).toBe(tuner.settings.strategy);
    // A sum over time differs in its last bit with where the time was cut.
    const toSum = (sum: number) => Number(sum.toFixed(9));
    const of = (one: typeof tuner) => ({
      notes: one.notes.map((note) => ({
        ...note,
        reasonSource: reasonOf(note),
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
  'hold-drift-on',
  'hold-drift-off',
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
  else if (what === 'set') stage.session.tuning.change({ ...stage.session.settings.tuner, ...CHANGES[key] });
  else if (what === 'unplug') {
    stage.keys.unplug();
    stage.wait(300);
    stage.keys = stage.machine.plugKeys('Keys');
    stage.wait(3000);
  } else stage.wait(key);
}

describe("the replicas of a session's tuner", () => {
  test('equal the tuner to the last bit, whatever is played and asked for', () => {
    forAll([fc.array(doing, { minLength: 1, maxLength: 60 })], 60, (doings) => {
      const pair = new Pair();
      for (const one of doings) play(pair, one);
      pair.compare();
    });
  });

  test('go on from a snapshot as if nothing had happened', () => {
    forAll(
      [fc.array(doing, { minLength: 1, maxLength: 30 }), fc.array(doing, { minLength: 1, maxLength: 30 })],
      40,
      (before, after) => {
        const pair = new Pair();
        for (const one of before) play(pair, one);
        pair.stage.wait(200);
        pair.catchUp();
        const snapshot = pair.replicas.toSnapshot();
        if (snapshot === undefined) throw new Error('no strike can be open');
        pair.replicas = new TunerReplicas(
          pair.stage.session.settings.tuner,
          LEEWAYS,
          structuredClone(snapshot),
        );
        for (const one of after) play(pair, one);
        pair.compare();
      },
    );
  });

  test('run under all strategies, and a pump drifts under free and not under anchored', () => {
    const pair = new Pair();
    for (let pass = 0; pass < 2; pass++) {
      for (const { lift, strike } of TIED_PUMP) {
        pair.stage.lift(...lift);
        pair.stage.strike(...strike);
        pair.stage.wait(900);
      }
      pair.stage.lift(...LAST_CHORD).wait(200);
    }
    pair.catchUp();
    const offsets = STRATEGIES.map((which) => pair.replicas.tuners[which].offset.cents);
    // Free took its place at the first strike and stays there; anchored has made up for two commas but its leeway.
    expect(Math.abs(offsets[0])).toBeLessThan(5);
    expect(offsets[2] - offsets[0]).toBeGreaterThan(20);
    expect(new Set(pair.replicas.takeEntries().map(({ strategy }) => strategy)).size).toBeGreaterThan(1);
  });

  test('follow a change of the strategy, and of what knobs turn, in the middle of a strike', () => {
    const pair = new Pair();
    const { tuning } = pair.stage.session;
    pair.stage.strike(60, 64).wait(5);
    tuning.change({ ...tuning.settings.tuner, leewayCents: 1 });
    pair.stage.strike(69).wait(5);
    expect(pair.stage.session.line.tuner.strike?.members).toHaveLength(3);
    pair.compare();
    tuning.change(withStrategy(tuning.settings.tuner, 'pull', undefined));
    pair.stage.strike(74).wait(5);
    pair.compare();
    expect(pair.replicas.strategy).toBe('pull');
  });

  test('go on from where the music is when the strategy changes', () => {
    const pair = new Pair();
    pair.stage.strike(60, 64, 67).wait(500);
    pair.stage.session.tuning.change(withStrategy(pair.stage.session.settings.tuner, 'free', undefined));
    pair.stage.strike(60, 64).wait(100);
    pair.compare();
    expect(pair.replicas.strategy).toBe('free');
  });

  test('know the channel and the bend of each note as they were sent', () => {
    const pair = new Pair();
    pair.stage.strike(60).wait(50).strike(64).wait(50);
    const notes = pair.replicas.tuners.anchored.notes;
    const model = pair.stage.model();
    for (const note of notes) {
      const sent = pair.replicas.sentAs(note.id);
      const voice = model.voices.find(({ key }) => key === note.key);
      expect(voice).toBeDefined();
      expect(sent?.channel).toBe(voice?.channel);
      expect(note.velocity).toBe(80);
    }
    const [, third] = notes.map(({ id }) => pair.replicas.sentAs(id)?.bend);
    // 8192 + 8192 · (-13.686 + where the body stands) / 4800 cents: the third lies lower than its key.
    expect(third).toBeLessThan(8192);
    pair.stage.lift(60, 64).wait(50);
    expect(notes).toEqual([]);
  });
});

/** Replicas beside an anchored session, with the keys that sound under a strategy. */
function open() {
  const replicas = new TunerReplicas(ANCHORED, { pull: 5, anchored: 3 });
  const play = (atMs: number, kind: 'note-on' | 'note-off', ...keys: number[]) => {
    for (const key of keys) replicas.take({ kind, atMs, part: 0, key });
  };
  const keysOf = (which: Strategy) => replicas.tuners[which].notes.map(({ key }) => key).sort();
  return { replicas, play, keysOf };
}

/** A pump that falls a comma; the last chord sounds on. */
function pump(play: (atMs: number, kind: 'note-on' | 'note-off', ...keys: number[]) => void): void {
  TIED_PUMP.forEach(({ lift, strike }, i) => {
    play(900 * i, 'note-off', ...lift);
    play(900 * i, 'note-on', ...strike);
  });
}

test('each replica has its strategy and its leeway', () => {
  const { replicas } = open();
  for (const which of STRATEGIES) expect(replicas.tuners[which].settings.strategy).toBe(which);
  expect(replicas.tuners.pull.settings.leewayCents).toBe(5);
  expect(replicas.tuners.anchored.settings.leewayCents).toBe(3);
  expect(replicas.strategy).toBe('anchored');
  expect(replicas.sounding).toBe(replicas.tuners.anchored);
});

test('all replicas take the same events', () => {
  const { replicas, play, keysOf } = open();
  play(0, 'note-on', 60, 64);
  for (const which of STRATEGIES) expect(keysOf(which)).toEqual([60, 64]);
  replicas.take({ kind: 'time', atMs: 500 });
  for (const which of STRATEGIES) expect(replicas.tuners[which].nowMs).toBe(500);
  expect(replicas.isMoving).toBe(false);
});

test('new settings in the replicas end nothing if they are an adjustment, and the new strategy goes on where the old one was', () => {
  const { replicas, play, keysOf } = open();
  pump(play);
  replicas.take({ kind: 'time', atMs: 4500 });
  const before = replicas.sounding.offset.cents;
  expect(replicas.tuners.free.offset.cents).not.toBeCloseTo(before, 1);
  replicas.changeSettings(4500, toSettings({ strategy: 'free' }), LEEWAYS);
  expect(replicas.strategy).toBe('free');
  expect(replicas.sounding.offset.cents).toBeCloseTo(before, 9);
  for (const which of STRATEGIES) expect(keysOf(which)).toEqual([60, 64, 67]);
});

test('new settings in the replicas leave what sounds under every strategy', () => {
  const { replicas, play, keysOf } = open();
  play(0, 'note-on', 60, 64);
  replicas.changeSettings(100, toSettings({ strategy: 'free', limit: 7 }), LEEWAYS);
  for (const which of STRATEGIES) {
    expect(keysOf(which)).toEqual([60, 64]);
    expect(replicas.tuners[which].settings.limit).toBe(7);
  }
});

test('nothing sounds in the replicas or on a channel after a restart, and times and numbers go on', () => {
  const { replicas, play } = open();
  play(100, 'note-on', 60, 64);
  const { nextId } = replicas.sounding;
  const rows = new SessionRows(1);
  rows.noteSent(2);
  replicas.takeRows(rows.take());
  expect(replicas.sentAs(1).channel).toBe(2);
  replicas.take({ kind: 'restart', atMs: 100 });
  expect(replicas.sentAs(1).channel).toBeNull();
  for (const which of STRATEGIES)
    expect(replicas.tuners[which]).toMatchObject({ notes: [], nowMs: 100, nextId });
});

test('the replicas give no snapshot while a strike is open', () => {
  const { replicas, play } = open();
  pump(play);
  expect(replicas.toSnapshot()).toBeUndefined();
  replicas.take({ kind: 'time', atMs: 4500 });
  expect(replicas.toSnapshot()).toBeDefined();
});

test('a leeway chosen for a strategy that does not sound counts in its replica at once, and in no other', () => {
  const { replicas, play } = open();
  pump(play);
  replicas.changeLeeways(4500, { pull: 5, anchored: 9 });
  replicas.changeLeeways(4600, { pull: 1, anchored: 9 });
  expect(replicas.tuners.pull.settings.leewayCents).toBe(1);
  expect(replicas.tuners.pull.nowMs).toBe(4600);
  // The sounding one has its own from the settings.
  expect(replicas.tuners.anchored.settings.leewayCents).toBe(3);
});
