import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DEFAULT_LAMP, isMeter, type LampConfig } from '../../../src/app/live/lamps.js';
import { DEFAULT_INPUT } from '../../../src/app/live/live-settings.js';
import { ACTION, type Action, toWords } from '../../../src/core/settings/index.js';
import { formatPlace } from '../../../src/core/theory/index.js';
import { toDrift, toMeanFromHome, toSettings } from '../../../src/core/tuner/index.js';
import type { FakeKeys, FakeSynth } from '../../support/fake-devices.js';
import { forAll } from '../../support/properties.js';
import { Stage, stageSettings } from '../../support/stage.js';

const SHOWN: readonly Pick<LampConfig, 'shows' | 'is'>[] = [
  ...['free', 'pull', 'anchored', 'temper'].map((is) => ({ shows: 'strategy' as const, is })),
  ...['3', '5', '7'].map((is) => ({ shows: 'limit' as const, is })),
  { shows: 'tonic', is: 'D' },
  { shows: 'preset', is: 'slow' },
  { shows: 'hold-drift', is: undefined },
  { shows: 'bypass', is: undefined },
  { shows: 'cut-off', is: undefined },
  { shows: 'drift', is: undefined },
  { shows: 'from-home', is: undefined },
];
const LAMPS: readonly LampConfig[] = SHOWN.map((shown, i) => ({
  ...DEFAULT_LAMP,
  ...shown,
  port: 'Board',
  virtual: false,
  kind: i % 2 === 0 && !isMeter(shown) ? 'note' : 'controller',
  number: 20 + i,
}));
const SETTINGS = stageSettings({
  inputs: [
    { ...DEFAULT_INPUT, port: 'Keys', virtual: false },
    { ...DEFAULT_INPUT, port: 'Board', virtual: false, channels: [], role: 'untuned' },
  ],
  lamps: LAMPS,
  presets: [{ name: 'slow', tuner: toSettings({ strategy: 'pull', limit: 7 }), leewayCents: undefined }],
  knobs: [{ controller: 80, channel: undefined, input: 'Board', sets: 'leeway', least: 0, most: 25 }],
  fuse: 300,
});

/** A foot controller: its switches and its lamps have one name. */
class Board {
  readonly stage: Stage;
  keys!: FakeKeys;
  synth!: FakeSynth;

  constructor(stage: Stage) {
    this.stage = stage;
    this.plug();
  }

  plug(): void {
    this.keys = this.stage.machine.plugKeys('Board');
    this.synth = this.stage.machine.plugSynth('Board');
    this.stage.wait(1000);
  }

  unplug(): void {
    this.keys.unplug();
    this.synth.unplug();
    this.stage.wait(600);
  }

  /** Where each lamp is, by what it was sent; nothing where it was sent nothing. */
  values(): (number | undefined)[] {
    const received = new Map(
      this.synth.messages.map(([status, data1, data2]) => [128 * status + data1, data2]),
    );
    return LAMPS.map(({ kind, number }) => received.get(128 * (kind === 'note' ? 0x90 : 0xb0) + number));
  }
}

/** What each lamp is to show, as a reader of the session sees it. */
function toTruth({ session }: Stage, fromHome: number): number[] {
  const { line, tuning } = session;
  const { tuner } = line;
  const meter = (cents: number) =>
    Math.max(0, Math.min(127, Math.round(64 + (cents * (cents < 0 ? 64 : 63)) / 50)));
  const isOn = ({ shows, is }: LampConfig): boolean =>
    ({
      strategy: tuner.settings.strategy === is,
      limit: String(tuner.settings.limit) === is,
      tonic: formatPlace(tuner.settings.home.tonic.fifths) === is,
      preset: tuning.preset === is,
      'hold-drift': tuner.driftHeld,
      bypass: line.isBypassed,
      'cut-off': session.inputs.some(({ isClosed }) => isClosed),
      drift: false,
      'from-home': false,
    })[shows];
  return LAMPS.map((lamp) => {
    if (lamp.shows === 'drift') return meter(toDrift(tuner).leftCents);
    if (lamp.shows === 'from-home') return meter(fromHome);
    return isOn(lamp) ? 127 : 0;
  });
}

const ACTIONS = toWords(ACTION.do) as Action[];
const step = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({ kind: fc.constant('act' as const), action: fc.constantFrom(...ACTIONS) }),
  },
  {
    weight: 4,
    arbitrary: fc.record({ kind: fc.constant('key' as const), key: fc.integer({ min: 55, max: 72 }) }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constantFrom('replug' as const, 'reload' as const, 'other' as const, 'flood' as const),
    }),
  },
  { weight: 2, arbitrary: fc.record({ kind: fc.constant('knob' as const), value: fc.nat(127) }) },
);

test('lamps show the state of the session after any actions, presets, knobs, floods, reloads and replugs, and are dark at the end', () => {
  forAll([fc.array(fc.tuple(step, fc.nat(40)), { maxLength: 14 })], (steps) => {
    const stage = new Stage(SETTINGS);
    const board = new Board(stage);
    let fromHome = 0;
    const look = () => {
      const { tuner } = stage.session.line;
      if (tuner.notes.length === 0) return;
      fromHome = toMeanFromHome(tuner);
    };
    for (const [what, waitMs] of steps) {
      const { settings } = stage.session;
      if (what.kind === 'act')
        stage.session.act({
          action: what.action,
          strategy: 'free',
          limit: 3,
          tonic: { keyClass: 2, fifths: 2 },
          preset: 'slow',
        });
      else if (what.kind === 'key') {
        const isDown = stage.session.line.tuner.notes.some(({ key }) => key === what.key);
        if (isDown) stage.lift(what.key);
        else stage.strike(what.key);
      } else if (what.kind === 'knob') board.keys.feed(0xb0, 80, what.value);
      else if (what.kind === 'reload') stage.session.reload({ ...settings, tuner: toSettings({}) });
      else if (what.kind === 'other') stage.session.reload({ ...settings, fuse: 700 - settings.fuse });
      else if (what.kind === 'flood') for (let n = 0; n < 1000; n++) board.keys.feed(0xb0, 90, n % 128);
      else {
        board.unplug();
        board.plug();
      }
      // Long enough for every glide, and for a meter that waits; then a while as it comes.
      stage.wait(20);
      look();
      stage.wait(400);
      look();
      expect(board.values()).toEqual(toTruth(stage, fromHome));
      stage.wait(waitMs);
      look();
    }
    stage.session.stop();
    expect(board.values()).toEqual(LAMPS.map((lamp) => (isMeter(lamp) ? 64 : 0)));
    const sent = board.synth.received.length;
    stage.wait(1000);
    expect(board.synth.received).toHaveLength(sent);
    expect(stage.session.counters.faults).toBe(0);
  });
});

describe('the lamps of a session', () => {
  test('are sent at the tick, and nothing of them while a message is being played', () => {
    const stage = new Stage(SETTINGS);
    const board = new Board(stage);
    const before = board.synth.received.length;
    stage.session.act({ action: 'bypass-on' });
    stage.strike(60);
    expect(board.synth.received).toHaveLength(before);
    stage.wait(10);
    expect(board.synth.received.slice(before)).toMatchObject([{ bytes: [0x90, 30, 127] }]);
  });

  test('on a port that refuses a message leave playing alone, and are all sent when it takes messages again', () => {
    const stage = new Stage(SETTINGS);
    const board = new Board(stage);
    board.synth.refuses = () => true;
    stage.session.act({ action: 'bypass-on' });
    stage.strike(60).wait(100);
    expect(stage.told()).toContain('failed');
    expect(stage.told()).not.toContain('mended');
    expect(stage.model().voices).toHaveLength(1);
    board.synth.refuses = () => false;
    const before = board.synth.received.length;
    stage.wait(5000);
    expect(board.synth.received.slice(before)).toHaveLength(LAMPS.length);
    expect(board.values()[LAMPS.findIndex(({ shows }) => shows === 'bypass')]).toBe(127);
    expect([stage.session.counters.faults, stage.session.counters.mends]).toEqual([0, 0]);
  });

  test('whose controller sends back what they get trigger nothing, and are no loop', () => {
    const on = { kind: 'note' as const, number: 30, channel: undefined, input: 'Board' };
    const stage = new Stage({ ...SETTINGS, actions: [{ on, action: 'bypass', strategy: undefined }] });
    const board = new Board(stage);
    const receive = board.synth.receive.bind(board.synth);
    board.synth.receive = (bytes) => {
      receive(bytes);
      board.keys.feed(...bytes);
    };
    const seen = Array.from({ length: 40 }, () => {
      board.keys.feed(0x90, 30, 127);
      stage.wait(100);
      board.keys.feed(0x80, 30, 64);
      stage.wait(100);
      return stage.session.line.isBypassed;
    });
    expect(seen).toEqual(seen.map((_, i) => i % 2 === 0));
    expect(stage.told()).not.toContain('loop-found');
    // Nothing of it goes on to the synth but what looks like a switch that comes up.
    expect(stage.synth.messages.filter(([status, , value]) => status === 0x90 && value > 0)).toEqual([]);
  });

  test('without lamps nothing asks for ticks', () => {
    const stage = new Stage(stageSettings());
    stage.keys.feed(0xb0, 1, 5);
    expect(stage.session.tickMs).toBe(Infinity);
  });
});
