import { describe, expect, test } from 'vitest';
import type { KnobRule } from '../../../src/app/live/knobs.js';
import type { Preset } from '../../../src/app/live/live-settings.js';
import { toReferenceCents } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { allKnobs } from '../../support/all-knobs.js';
import { Stage, stageSettings } from '../../support/stage.js';

const KNOBS = allKnobs();
const SLOW: Preset = {
  name: 'slow-hymns',
  tuner: toSettings({ strategy: 'pull', leewayCents: 5, referenceCents: -20 }),
  leewayCents: 5,
};
const BRIGHT: Preset = { name: 'bright', tuner: toSettings({ limit: 7 }), leewayCents: undefined };

function createStage(tuner: Parameters<typeof stageSettings>[1] = {}) {
  const settings: string[] = [];
  const stage = new Stage(stageSettings({ knobs: KNOBS, presets: [SLOW, BRIGHT] }, tuner), undefined, {
    listener: { event: ({ kind }) => void (kind === 'settings' && settings.push(kind)) },
  });
  /** How often the tuner was given settings. */
  return { stage, count: () => settings.length };
}

const turn = (stage: Stage, sets: KnobRule['sets'], value: number) =>
  stage.keys.feed(0xb0, KNOBS.find((knob) => knob.sets === sets)!.controller, value);
const tunerOf = ({ session }: Stage) => session.line.tuner.settings;
const toldOf = ({ events }: Stage, kind: string) => events.filter((event) => event.kind === kind);

describe('a knob', () => {
  test('that sends a thousand messages within 10 ms changes the settings once, at the tick, to the newest value', () => {
    const { stage, count } = createStage();
    stage.wait(3);
    for (let n = 0; n < 1000; n++) turn(stage, 'leeway', n % 128);
    expect(count()).toBe(0);
    stage.wait(10);
    expect(count()).toBe(1);
    expect(tunerOf(stage).leewayCents).toBe(20.28);
    expect(stage.session.tickMs).toBe(Infinity);
    stage.wait(1000);
    expect(count()).toBe(1);
  });

  test('is told a few times a second at most, and in the end as it stands', () => {
    const { stage } = createStage();
    for (let n = 0; n < 1000; n++) {
      turn(stage, 'recall', n % 128);
      stage.wait(1);
    }
    stage.wait(300);
    const told = toldOf(stage, 'tuning-changed');
    expect(told.length).toBeGreaterThan(2);
    expect(told.length).toBeLessThan(7);
    expect(told.at(-1)).toMatchObject({ settings: { recallCents: tunerOf(stage).recallCents } });
    turn(stage, 'recall', 3);
    stage.wait(10).session.stop();
    expect(toldOf(stage, 'tuning-changed').at(-1)).toMatchObject({ settings: { recallCents: 0.59 } });
  });

  test('that stays on a value changes nothing', () => {
    const { stage, count } = createStage({ leewayCents: 0 });
    turn(stage, 'leeway', 0);
    stage.wait(500);
    turn(stage, 'a4', 64);
    stage.wait(500);
    expect(count()).toBe(0);
    expect(toldOf(stage, 'tuning-changed')).toEqual([]);
  });

  test('for the leeway counts for pull and for anchored, now or once one of them is chosen', () => {
    const { stage, count } = createStage({ strategy: 'free', leewayCents: Number.POSITIVE_INFINITY });
    turn(stage, 'leeway', 127);
    stage.wait(20);
    expect([count(), tunerOf(stage).leewayCents]).toEqual([0, Number.POSITIVE_INFINITY]);
    const seen = (['pull', 'anchored', 'temper'] as const).map((strategy) => {
      stage.session.act({ action: 'strategy', strategy });
      return tunerOf(stage).leewayCents;
    });
    expect(seen).toEqual([25, 25, 0]);
  });

  test('leaves the chord that is being struck a chord, and its message goes no further', () => {
    const { stage } = createStage();
    stage.strike(60);
    for (const key of [64, 67]) {
      turn(stage, 'leeway', key);
      stage.wait(10).strike(key);
    }
    expect(stage.session.line.tuner.strike?.members).toHaveLength(3);
    expect(
      stage.synth.messages.filter(
        ([status, controller]) => (status & 0xf0) === 0xb0 && controller >= 20 && controller < 24,
      ),
    ).toEqual([]);
  });

  test.each([
    ['pure', 'follow'],
    ['in 12 equal', 'follow'],
    ['in 12 equal, where held notes stay', 'stay'],
  ] as const)('for the pitch of A takes what sounds %s there in a glide, without a jump', (how, held) => {
    const { stage } = createStage({ held });
    if (how !== 'pure') stage.session.act({ action: 'bypass-on' });
    stage.strike(60, 64, 67).wait(200);
    const cents = () => stage.model().voices.map((voice) => stage.model().centsOf(voice));
    const before = cents();
    turn(stage, 'a4', 127);
    const whole = toReferenceCents(450);
    let last = before;
    for (let n = 0; n < 10; n++) {
      stage.wait(10);
      const now = cents();
      now.forEach((one, i) => {
        // A glide of 60 ms in steps of 10, and half a bend step at each end.
        expect(one - last[i]).toBeLessThan(whole / 6 + 0.6);
      });
      last = now;
    }
    last.forEach((one, i) => {
      expect(Math.abs(one - before[i] - whole)).toBeLessThan(0.6);
    });
    expect(stage.wait(100).session.tickMs).toBe(Infinity);
  });
});

test('a knob for the pitch of A is followed at once where a glide takes no time', () => {
  const { stage } = createStage({ glideMs: 0 });
  stage.session.act({ action: 'bypass-on' });
  stage.strike(60).wait(100);
  turn(stage, 'a4', 127);
  stage.wait(10).strike(64).wait(10);
  const cents = stage.model().voices.map((voice) => stage.model().centsOf(voice) - 100 * voice.key);
  for (const one of cents) expect(Math.abs(one - toReferenceCents(450))).toBeLessThan(0.3);
  expect(cents).toHaveLength(2);
});

describe('a preset', () => {
  const load = (stage: Stage, preset: string) => stage.session.act({ action: 'preset', preset });

  test('is told by its name, with the tuning, and the same again changes nothing', () => {
    const { stage, count } = createStage();
    load(stage, 'slow-hymns');
    load(stage, 'slow-hymns');
    expect(tunerOf(stage)).toBe(SLOW.tuner);
    expect(count()).toBe(1);
    expect(toldOf(stage, 'preset-loaded')).toEqual([{ kind: 'preset-loaded', name: 'slow-hymns' }]);
    expect(toldOf(stage, 'tuning-changed')).toHaveLength(1);
    expect(stage.session.tuning.preset).toBe('slow-hymns');
  });

  test('gives its leeway to every strategy chosen after it, and a knob that is turned later overrides that', () => {
    const { stage } = createStage();
    turn(stage, 'leeway', 127);
    stage.wait(20);
    load(stage, 'slow-hymns');
    stage.session.act({ action: 'strategy', strategy: 'anchored' });
    expect(tunerOf(stage).leewayCents).toBe(5);
    turn(stage, 'leeway', 0);
    stage.wait(20);
    expect(tunerOf(stage).leewayCents).toBe(0);
    expect(stage.session.tuning.preset).toBe('slow-hymns');
    load(stage, 'slow-hymns');
    expect(tunerOf(stage)).toBe(SLOW.tuner);
  });

  test('that is in force resets what knobs have changed since, even where it can not be heard yet', () => {
    const free: Preset = { name: 'free', tuner: toSettings({ strategy: 'free' }), leewayCents: undefined };
    const { stage } = createStage();
    stage.session.reload({ ...stage.session.settings, presets: [free] });
    load(stage, 'free');
    turn(stage, 'leeway', 127);
    stage.wait(20);
    load(stage, 'free');
    stage.session.act({ action: 'strategy', strategy: 'anchored' });
    expect(tunerOf(stage).leewayCents).toBe(8);
  });

  test('is over when another is loaded, or the settings are read again', () => {
    const { stage } = createStage();
    const { settings } = stage.session;
    load(stage, 'slow-hymns');
    load(stage, 'bright');
    expect([stage.session.tuning.preset, tunerOf(stage).limit]).toEqual(['bright', 7]);
    stage.session.reload(settings);
    expect([stage.session.tuning.preset, tunerOf(stage).limit]).toEqual([undefined, 5]);
  });

  test('that the settings do not have changes nothing', () => {
    const { stage, count } = createStage();
    load(stage, 'gone');
    expect(count()).toBe(0);
  });

  test('changes with the file it comes from, while notes sound', () => {
    const { stage } = createStage();
    stage.strike(60, 64).wait(100);
    const { settings } = stage.session;
    stage.session.reload({ ...settings, knobs: [], presets: [{ ...SLOW, tuner: toSettings({ limit: 3 }) }] });
    load(stage, 'slow-hymns');
    expect(tunerOf(stage).limit).toBe(3);
    expect(stage.model().voices).toHaveLength(2);
    expect(stage.session.counters.drains).toBe(0);
  });
});
