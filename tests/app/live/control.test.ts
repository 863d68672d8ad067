import { describe, expect, test } from 'vitest';
import { control } from '../../../src/app/live/control.js';
import type { Control } from '../../../src/core/protocol/index.js';
import type { TunerSettings } from '../../../src/core/tuner/index.js';
import { Stage } from '../../support/stage.js';

type Asked = Control extends infer One
  ? One extends { type: 'control' }
    ? Omit<One, 'type'>
    : never
  : never;

function ask(stage: Stage, asked: Asked): TunerSettings {
  control(stage.session, { type: 'control', ...asked } as Control);
  return stage.session.settings.tuner;
}

const times = (stage: Stage, kind: string) => stage.told().filter((one) => one === kind).length;

describe('what is set on the page', () => {
  test.each<[string, Asked, (settings: TunerSettings) => unknown, unknown]>([
    ['hear', { what: 'hear', value: 'pull' }, ({ strategy }) => strategy, 'pull'],
    ['rate', { what: 'rate', value: 5 }, ({ rateCentsPerSecond }) => rateCentsPerSecond, 5],
    ['recall', { what: 'recall', value: 12 }, ({ recallCents }) => recallCents, 12],
    ['held', { what: 'held', value: 'stay' }, ({ held }) => held, 'stay'],
    ['limit', { what: 'limit', value: 7 }, ({ limit }) => limit, 7],
    ['home', { what: 'home', value: 'just' }, ({ home }) => home.kind, 'just'],
    ['tonic', { what: 'tonic', value: 'E♭' }, ({ home }) => home.tonic, { keyClass: 3, fifths: -3 }],
    ['strike window', { what: 'strike-window', value: 50 }, ({ strikeWindowMs }) => strikeWindowMs, 50],
  ])(
    "the page's order %s holds from then on, is reported once, and changes nothing the second time",
    (_, asked, read, value) => {
      const stage = new Stage();
      expect(read(stage.session.settings.tuner)).not.toEqual(value);
      expect(read(ask(stage, asked))).toEqual(value);
      expect(read(stage.session.line.tuner.settings)).toEqual(value);
      expect(times(stage, 'tuning-changed')).toBe(1);
      ask(stage, asked);
      expect(times(stage, 'tuning-changed')).toBe(1);
    },
  );

  test('the pitch of A is set in hertz', () => {
    // 1200 · log2(442 / 440)
    expect(ask(new Stage(), { what: 'a4', value: 442 }).referenceCents).toBeCloseTo(7.8514, 4);
  });

  test('a new tonic leaves the kind of home, and a new home leaves the tonic', () => {
    const stage = new Stage();
    ask(stage, { what: 'home', value: 'meantone' });
    ask(stage, { what: 'tonic', value: 'D' });
    const { home } = ask(stage, { what: 'home', value: 'pythagorean' });
    expect([home.kind, home.tonic.keyClass]).toEqual(['pythagorean', 2]);
  });

  test('the leeway of another strategy counts once that strategy is chosen', () => {
    const stage = new Stage();
    expect(ask(stage, { what: 'leeway', strategy: 'pull', value: 4 }).leewayCents).toBe(8);
    expect(ask(stage, { what: 'leeway', strategy: 'anchored', value: 5 }).leewayCents).toBe(5);
    expect(ask(stage, { what: 'hear', value: 'pull' }).leewayCents).toBe(4);
  });

  test('12 equal is turned on and off, and an order for the present state changes nothing', () => {
    const stage = new Stage();
    const isBypassed = () => stage.session.line.isBypassed;
    ask(stage, { what: 'hear', value: 'anchored' });
    expect(isBypassed()).toBe(false);
    ask(stage, { what: 'hear', value: 'equal' });
    ask(stage, { what: 'hear', value: 'equal' });
    expect(isBypassed()).toBe(true);
    ask(stage, { what: 'hear', value: 'anchored' });
    expect(isBypassed()).toBe(false);
  });

  test.each<[string, Asked]>([
    ['hear', { what: 'hear', value: 'pull' }],
    ['rate', { what: 'rate', value: 5 }],
    ['held', { what: 'held', value: 'stay' }],
    ['recall', { what: 'recall', value: 12 }],
    ['leeway', { what: 'leeway', strategy: 'anchored', value: 3 }],
    ['strike window', { what: 'strike-window', value: 50 }],
    ['limit', { what: 'limit', value: 7 }],
    ['3-limit', { what: 'limit', value: 3 }],
    ['home', { what: 'home', value: 'just' }],
    ['tonic', { what: 'tonic', value: 'D' }],
    ['pitch', { what: 'a4', value: 442 }],
  ])("sounding notes sound on after the page's order %s", (_, asked) => {
    const stage = new Stage().strike(60, 64).wait(50);
    ask(stage, asked);
    expect(stage.model().voices).toHaveLength(2);
    expect(stage.session.counters.drains).toBe(0);
  });

  test("sounding notes end at the page's order panic", () => {
    const stage = new Stage().strike(60, 64).wait(50);
    ask(stage, { what: 'panic' });
    expect(stage.model().voices).toEqual([]);
    expect(stage.session.counters.drains).toBe(1);
  });

  test("the page's order for home brings the music home, at once or with the next strike", () => {
    const stage = new Stage().strike(60, 64, 67).wait(200);
    ask(stage, { what: 'home-next' });
    expect(stage.session.line.tuner.homing).toBe(true);
    ask(stage, { what: 'home-now' });
    expect(stage.told().filter((kind) => kind === 'acted')).toHaveLength(2);
  });
});
