import { describe, expect, test } from 'vitest';
import { ACTION, type Action, toWords } from '../../../src/core/settings/index.js';
import { toMeanFromHome, toSettings } from '../../../src/core/tuner/index.js';
import { allKnobs } from '../../support/all-knobs.js';
import { numbers } from '../../support/numbers.js';
import { Stage, stageSettings } from '../../support/stage.js';

function ask(stage: Stage, ...actions: Action[]): Stage {
  for (const action of actions) stage.session.act({ action, strategy: undefined });
  return stage;
}

const settingsOf = (stage: Stage) => stage.session.line.tuner.settings;

describe('an action while playing:', () => {
  test('next-strategy goes through the strategies in a circle, each with its leeway, and sounding notes sound on', () => {
    const stage = new Stage(stageSettings({}, { strategy: 'anchored' })).strike(60, 64).wait(50);
    const seen = [1, 2, 3, 4].map(() => {
      ask(stage, 'next-strategy');
      expect(stage.model().voices.map(({ key }) => key)).toEqual([60, 64]);
      const { strategy, leewayCents } = settingsOf(stage);
      return [strategy, leewayCents];
    });
    expect(seen).toEqual([
      ['temper', 0],
      ['free', Infinity],
      ['pull', 2],
      ['anchored', 8],
    ]);
    expect(stage.session.counters.drains).toBe(0);
    stage.lift(60, 64).wait(50);
    expect(stage.model().voices).toEqual([]);
    expect(stage.model().faults).toEqual([]);
  });

  test('choosing pull draws a chord that is held far from home back at once, in tune, and it ends as it was struck', () => {
    const stage = new Stage(stageSettings({}, { strategy: 'free' }));
    stage.play(numbers('48 67 72 76, 45 69 72 76, 50 69 74 77, 43 67 71 74'), 900);
    stage.strike(43, 67, 71, 74).wait(100);
    stage.session.tuning.chooseLeeway('pull', 0);
    const away = toMeanFromHome(stage.session.line.tuner);
    expect(Math.abs(away)).toBeGreaterThan(1);
    const before = stage.model().voices.map((voice) => stage.model().centsOf(voice));
    stage.session.act({ action: 'strategy', strategy: 'pull' });
    // 3 cents a second by default, until it is home.
    for (const [ms, moved] of [
      [1000, -3 * Math.sign(away)],
      [(Math.abs(away) / 3) * 1000, -away],
    ]) {
      stage.wait(ms);
      const after = stage.model().voices.map((voice) => stage.model().centsOf(voice));
      expect(after).toHaveLength(4);
      // Each to half a bend step, before and after, and to one tick of the pull.
      for (const [i, cents] of after.entries()) expect(Math.abs(cents - before[i] - moved)).toBeLessThan(0.6);
    }
    stage.lift(43, 67, 71, 74).wait(50);
    expect(stage.model().voices).toEqual([]);
  });

  test('strategy chooses a strategy by its name, and does nothing if it is chosen already', () => {
    const stage = new Stage();
    stage.session.act({ action: 'strategy', strategy: 'pull' });
    expect(settingsOf(stage).strategy).toBe('pull');
    const drains = stage.session.counters.drains;
    stage.session.act({ action: 'strategy', strategy: 'pull' });
    expect(stage.session.counters.drains).toBe(drains);
  });

  test('limit-up and limit-down stop at the highest and the lowest limit', () => {
    const stage = ask(new Stage(), 'limit-up', 'limit-up', 'limit-up', 'limit-up');
    expect(settingsOf(stage).limit).toBe(13);
    ask(stage, 'limit-down', 'limit-down', 'limit-down', 'limit-down', 'limit-down');
    expect(settingsOf(stage).limit).toBe(3);
  });

  test('tonic-from-bass takes the lowest note as it is spelled, and changes nothing in silence', () => {
    const stage = ask(new Stage(stageSettings({}, { limit: 5 })), 'tonic-from-bass');
    expect(settingsOf(stage).home.tonic).toEqual({ keyClass: 0, fifths: 0 });
    stage.strike(66, 70, 73).wait(50);
    ask(stage, 'tonic-from-bass');
    expect(settingsOf(stage).home.tonic.keyClass).toBe(6);
    expect(Math.abs(settingsOf(stage).home.tonic.fifths)).toBe(6);
    expect(stage.model().voices).toHaveLength(3);
  });

  test('home-now brings the music home at once, home-next at the next strike', () => {
    const stage = new Stage(stageSettings({}, { strategy: 'anchored', leewayCents: 100 }));
    stage.play(numbers('48 67 72 76, 45 69 72 76, 50 69 74 77'), 900);
    stage.strike(43, 67, 71, 74).wait(200);
    expect(Math.abs(toMeanFromHome(stage.session.line.tuner))).toBeGreaterThan(1);
    ask(stage, 'home-now').wait(200);
    expect(toMeanFromHome(stage.session.line.tuner)).toBeCloseTo(0, 6);
    ask(stage, 'home-next').lift(43, 67, 71, 74).wait(50).strike(48, 64, 67).wait(200);
    expect(toMeanFromHome(stage.session.line.tuner)).toBeCloseTo(0, 6);
  });

  test('bypass puts all notes in 12 equal, sounding ones too, and they are pure again after it', () => {
    const stage = new Stage().strike(60, 64, 67).wait(100);
    const pure = stage.model().voices.map((voice) => stage.model().centsOf(voice));
    ask(stage, 'bypass').wait(20);
    const equal = stage.model();
    for (const voice of equal.voices) expect(equal.centsOf(voice)).toBeCloseTo(100 * voice.key, 6);
    ask(stage, 'bypass').wait(20);
    expect(stage.model().voices.map((voice) => stage.model().centsOf(voice))).toEqual(pure);
    expect(stage.events.filter(({ kind }) => kind === 'bypassed')).toEqual([
      { kind: 'bypassed', on: true },
      { kind: 'bypassed', on: false },
    ]);
  });

  test('hold-drift holds the drift, and releases it the second time', () => {
    const stage = ask(new Stage(), 'hold-drift');
    expect(stage.session.line.tuner.driftHeld).toBe(true);
    expect(ask(stage, 'hold-drift').session.line.tuner.driftHeld).toBe(false);
  });

  test.each<[Action, Action, (stage: Stage) => boolean, string]>([
    ['bypass-on', 'bypass-off', ({ session }) => session.line.isBypassed, 'bypassed'],
    ['hold-drift-on', 'hold-drift-off', ({ session }) => session.line.tuner.driftHeld, 'drift-held'],
  ])('%s turns it on and %s off, and what is so already changes nothing', (on, off, isOn, kind) => {
    const stage = new Stage().strike(60, 64, 67).wait(100);
    expect([on, on, off, off, on].map((action) => isOn(ask(stage, action)))).toEqual([
      true,
      true,
      false,
      false,
      true,
    ]);
    expect(stage.events.filter((event) => event.kind === kind)).toEqual([
      { kind, on: true },
      { kind, on: false },
      { kind, on: true },
    ]);
    expect(stage.model().voices).toHaveLength(3);
  });

  test('limit and tonic change to what is given, sounding notes sound on, and what is so already changes nothing', () => {
    const stage = new Stage(stageSettings({}, { limit: 5 })).strike(60, 64, 67).wait(100);
    const tonic = { keyClass: 2, fifths: 2 };
    for (let i = 0; i < 2; i++) {
      stage.session.act({ action: 'limit', limit: 7 });
      stage.session.act({ action: 'tonic', tonic });
    }
    expect(settingsOf(stage)).toMatchObject({ limit: 7, home: { tonic } });
    expect(stage.told().filter((kind) => kind === 'tuning-changed')).toHaveLength(2);
    expect(stage.model().voices).toHaveLength(3);
    expect(stage.session.counters.drains).toBe(0);
  });

  test('a latching foot switch answers every press, and 12 equal follows its position', () => {
    const on = {
      kind: 'controller' as const,
      channel: undefined,
      input: undefined,
      switch: 'latching' as const,
    };
    const actions = [
      { on: { ...on, number: 80 }, action: 'next-strategy' as const, strategy: undefined },
      { on: { ...on, number: 81 }, action: 'bypass' as const, strategy: undefined },
    ];
    const stage = new Stage(stageSettings({ actions }, { strategy: 'free' }));
    const press = (controller: number, value: number): Stage => {
      stage.keys.feed(0xb0, controller, value);
      return stage;
    };
    expect([127, 0, 127].map((value) => settingsOf(press(80, value)).strategy)).toEqual([
      'pull',
      'anchored',
      'temper',
    ]);
    // The page turns it off meanwhile: the switch comes up, and it is off still.
    const isBypassed = () => stage.session.line.isBypassed;
    press(81, 127);
    expect(isBypassed()).toBe(true);
    ask(stage, 'bypass-off');
    press(81, 0);
    expect(isBypassed()).toBe(false);
    expect(
      stage.synth.messages.filter(([status, data1]) => status === 0xb0 && data1 >= 80 && data1 < 82),
    ).toEqual([]);
  });

  test('an action comes from a foot switch, whose message is not passed on', () => {
    const on = { kind: 'controller' as const, number: 67, channel: undefined, input: 'Keys' };
    const stage = new Stage(stageSettings({ actions: [{ on, action: 'panic', strategy: undefined }] }));
    stage.strike(60).wait(50);
    const before = stage.synth.messages.length;
    stage.keys.feed(0xb0, 67, 127);
    expect(stage.model().voices).toEqual([]);
    expect(stage.synth.messages.slice(before)).not.toContainEqual([0xb0, 67, 127]);
    expect(stage.told()).toContain('acted');
  });
});

const CHORD = [50, 69, 74, 77];
const PRESETS = (['free', 'pull'] as const).map((strategy) => ({
  name: strategy,
  tuner: toSettings({ strategy, limit: 7, referenceCents: 20 }),
  leewayCents: undefined,
}));
const KNOBS = allKnobs();

/** Every action but the one that is there to silence, and every knob: each twice, with what it needs. */
const GENTLE = [
  ...(toWords(ACTION.do) as Action[])
    .filter((action) => action !== 'panic')
    .map((action): [string, (stage: Stage, strategy: 'free' | 'pull') => void] => [
      `action ${action}`,
      ({ session }, strategy) => session.act({ action, strategy, preset: strategy }),
    ]),
  ...KNOBS.map(({ sets, controller }): [string, (stage: Stage, strategy: 'free' | 'pull') => void] => [
    `knob for ${sets}`,
    ({ keys }, strategy) => keys.feed(0xb0, controller, strategy === 'free' ? 0 : 100),
  ]),
];

test.each(GENTLE)(
  'the %s under a held chord ends no note before its key is up, and each is at its pitch',
  (_, ask) => {
    const stage = new Stage(stageSettings({ presets: PRESETS, knobs: KNOBS }));
    stage
      .play(numbers('48 67 72 76, 45 69 72 76'), 400)
      .strike(...CHORD)
      .wait(200);
    const before = stage.synth.messages.length;
    ask(stage, 'free');
    stage.wait(500);
    ask(stage, 'pull');
    stage.wait(3000);
    const sent = stage.synth.messages.slice(before);
    // What the cue plays ends: it plays a key that isn't among those held.
    const ended = sent.filter(([status, key]) => (status & 0xf0) === 0x80 && CHORD.includes(key));
    expect(ended).toEqual([]);
    expect(sent.filter(([status]) => (status & 0xf0) === 0xb0)).toEqual([]);
    const model = stage.model();
    expect(model.voices.map(({ key }) => key)).toEqual(CHORD);
    const { line } = stage.session;
    const wanted = line.tuner.notes.map(({ key, reportedCents }) =>
      line.isBypassed ? 100 * key : reportedCents,
    );
    // To half a bend step.
    model.voices.forEach((voice, i) => {
      expect(Math.abs(model.centsOf(voice) - wanted[i])).toBeLessThan(0.3);
    });
    stage.lift(...CHORD).wait(50);
    expect(stage.model().voices).toEqual([]);
    expect(stage.model().faults).toEqual([]);
  },
);
