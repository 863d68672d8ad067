import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { readBuiltInPieces } from '../../../src/app/live/built-in-pieces.js';
import { PageOrders, type ViewerMessage } from '../../../src/app/live/page-orders.js';
import type { NamedPiece } from '../../../src/app/live/piece-stretch.js';
import { readStory } from '../../../src/app/story/read-story.js';
import type { Story } from '../../../src/app/story/story.js';
import { WatchedStage } from '../../support/watched-stage.js';

const DEMO = fileURLToPath(new URL('../../../configs/demo', import.meta.url));

let builtIn: readonly NamedPiece[];
let story: Story;
beforeAll(async () => {
  builtIn = await readBuiltInPieces(DEMO);
  const parsed = await readStory(`${DEMO}/story.toml`, builtIn);
  if (!parsed.ok) throw new Error(parsed.mistakes[0].message);
  story = parsed.story;
});

type Order = Extract<ViewerMessage, { kind: 'order' }>['order'];

/** A session that viewers order about. */
class OrderedStage extends WatchedStage {
  readonly orders = new PageOrders(builtIn, [story], {
    clock: this.clock,
    session: () => this.session,
    tell: (message) => this.queue.tell(message),
    hear: (_session, strategy) => this.hear(strategy),
  });

  order(order: Order, viewer = 1) {
    return this.orders.take({ kind: 'order', viewer, order });
  }

  tell(act: 'next' | 'back' | 'close'): this {
    this.order({ type: 'story', act });
    return this;
  }

  open(name = story.title): this {
    expect(this.order({ type: 'story', act: 'open', name })).toBeUndefined();
    return this;
  }

  send(text: string) {
    return this.orders.take({ kind: 'story', viewer: 1, name: 'own.toml', text });
  }
}

describe('a stage', () => {
  test('shows what was ordered last, in every frame and to a next server', () => {
    const stage = new OrderedStage();
    expect(stage.frame().stage).toEqual({ view: 'all', only: [], pointer: null, story: null });
    stage.order({ type: 'stage', act: 'view', value: 'curve' });
    stage.order({ type: 'stage', act: 'only', value: ['free', 'equal'] });
    const shown = { view: 'curve', only: ['free', 'equal'], pointer: null, story: null };
    expect(stage.frame().stage).toEqual(shown);
    expect(stage.monitor.toSnapshot()?.stage).toEqual(shown);
  });

  test('has a pointer until its viewer takes it away or leaves', () => {
    const stage = new OrderedStage();
    const pointer = { at: 'chord' as const, x: 0.5, y: 0.25 };
    stage.order({ type: 'stage', act: 'point', value: pointer }, 7);
    expect(stage.frame().stage.pointer).toEqual(pointer);
    stage.orders.take({ kind: 'left', viewer: 8 });
    expect(stage.frame().stage.pointer).toEqual(pointer);
    stage.orders.take({ kind: 'left', viewer: 7 });
    expect(stage.frame().stage.pointer).toBeNull();
    stage.order({ type: 'stage', act: 'point', value: pointer }, 7);
    stage.order({ type: 'stage', act: 'point', value: null }, 7);
    expect(stage.frame().stage.pointer).toBeNull();
    stage.order({ type: 'stage', act: 'point', value: pointer }, 7);
    stage.orders.leaveAll();
    expect(stage.frame().stage.pointer).toBeNull();
  });
});

describe('the built-in story', () => {
  test('sounds 12 equal and pure by turns at first, on one chord', () => {
    const stage = new OrderedStage().open().wait(500);
    const { playing, stage: shown, sounding } = stage.frame();
    expect(playing).toMatchObject({ name: 'choir-warm-up', fromMs: 0, toMs: 3000, loop: true });
    expect(shown).toMatchObject({ view: 'chord', story: { title: story.title, step: 1, steps: 7 } });
    expect(shown.story?.sentence).toBe(story.steps[0].sentence);
    expect(sounding).toBeNull();
    const third = () => {
      const model = stage.model();
      const voice = model.voices.find(({ key }) => key === 64);
      return voice === undefined ? undefined : model.centsOf(voice) - 6400;
    };
    expect(third()).toBeCloseTo(0, 6);
    stage.wait(3000);
    expect(stage.frame().sounding).toBe('free');
    // A pure major third is 13.7 c narrower than that of 12 equal.
    expect(stage.frame().notes.find(({ key }) => key === 64)?.toBass).toBe('5/2');
    expect(third()).toBeLessThan(-10);
    stage.wait(3000);
    expect(stage.frame().sounding).toBeNull();
  });

  test('comes back a comma low after a pass, and three after three', () => {
    const stage = new OrderedStage().open();
    stage.tell('next').tell('next').wait(14_000);
    expect(stage.frame()).toMatchObject({ sounding: 'free', stage: { view: 'figure', only: ['free'] } });
    expect(stage.frame().drift.free).toMatchObject({ comma: '−1 syntonic comma' });
    expect(stage.frame().drift.free.leftCents).toBeCloseTo(-21.5, 1);
    stage.wait(3000);
    // One pass was asked for.
    expect(stage.frame()).toMatchObject({ playing: null, notes: [] });
    stage.tell('next').wait(29_000);
    expect(stage.frame().playing).toMatchObject({ tempo: 1.5, pass: { n: 3 } });
    expect(stage.frame().drift.free.leftCents).toBeCloseTo(-64.5, 1);
    stage.wait(2000);
    expect(stage.frame().playing).toBeNull();
  });

  test('stays within 8 c anchored, while held notes move; is drawn back by the pull; and tempers', () => {
    const stage = new OrderedStage().open();
    for (let i = 0; i < 4; i++) stage.tell('next');
    stage.wait(29_000);
    expect(stage.frame().sounding).toBe('anchored');
    expect(Math.abs(stage.frame().drift.anchored.meanCents ?? 99)).toBeLessThanOrEqual(8.001);
    expect(stage.frame().totals.anchored.glidedCents).toBeGreaterThan(30);
    stage.tell('next').wait(29_000);
    expect(stage.frame().sounding).toBe('pull');
    expect(Math.abs(stage.frame().drift.pull.leftCents)).toBeLessThan(10);
    expect(stage.session.settings.tuner.rateCentsPerSecond).toBe(3);
    stage.tell('next').wait(29_000);
    expect(stage.frame().sounding).toBe('temper');
    expect(Math.abs(stage.frame().drift.temper.leftCents)).toBeLessThan(15);
    expect(stage.frame().totals.temper.impurityCentSeconds).toBeGreaterThan(10);
    // The last step stays.
    stage.tell('next');
    expect(stage.frame().stage.story?.step).toBe(7);
  });

  test('leaves a piece alone that somebody starts meanwhile', () => {
    const stage = new OrderedStage().open().tell('next').tell('next').wait(500);
    stage.order({ type: 'piece', act: 'start', name: 'trio-of-thirds', tempo: 4, loop: true });
    stage.order({ type: 'control', what: 'hear', value: 'pull' });
    stage.wait(9000);
    expect(stage.frame()).toMatchObject({
      playing: { name: 'trio-of-thirds', loop: true },
      sounding: 'pull',
    });
    expect(stage.frame().playing?.pass.n).toBeGreaterThan(1);
  });

  test('goes back to a step as it begins, and lets the music go on when it is closed', () => {
    const stage = new OrderedStage().open().tell('next').wait(9000);
    expect(stage.frame().playing?.pass.n).toBe(2);
    stage.tell('back').wait(100);
    expect(stage.frame()).toMatchObject({
      stage: { story: { step: 1 }, view: 'chord' },
      playing: { pass: { n: 1 }, toMs: 3000 },
      sounding: null,
    });
    stage.tell('back').wait(100);
    expect(stage.frame().stage.story?.step).toBe(1);
    stage.tell('close');
    expect(stage.frame().stage.story).toBeNull();
    expect(stage.frame().playing).not.toBeNull();
    stage.wait(3000);
    // Nothing alternates any more.
    expect(stage.frame().sounding).toBeNull();
    stage.tell('next');
    expect(stage.frame().stage.story).toBeNull();
  });
});

describe('a story that a viewer sends', () => {
  const text = (title: string, more = '') => `title = "${title}"\n[[step]]\nsentence = "One."\n${more}`;

  test('begins, is listed, and takes the place of one of its name', () => {
    const stage = new OrderedStage();
    expect(stage.send(text('Mine', 'formula = "I IV ii V"\nplay = "chord"'))).toBeUndefined();
    stage.wait(100);
    expect(stage.orders.stories).toEqual([story.title, 'Mine']);
    expect(stage.frame()).toMatchObject({
      stage: { story: { title: 'Mine', step: 1, steps: 1, sentence: 'One.' } },
      playing: { name: 'I IV ii V', isPaused: true, positionMs: 0 },
    });
    expect(stage.frame().notes).toHaveLength(4);
    stage.send(text('Mine', '[[step]]\nsentence = "Two."\nplay = "no"'));
    expect(stage.orders.stories).toEqual([story.title, 'Mine']);
    stage.tell('next');
    expect(stage.frame()).toMatchObject({ playing: null, stage: { story: { step: 2 } } });
    for (let i = 0; i < 9; i++) stage.send(text(`Number ${i}`));
    expect(stage.orders.stories).toHaveLength(8);
  });

  test('with a mistake is refused with its place, and changes nothing', () => {
    const stage = new OrderedStage().open();
    const refusal = stage.send(text('Mine', 'piece = "none"'));
    expect(refusal?.code).toBe('BAD_FILE');
    expect(refusal?.text).toMatch(/^own\.toml:4:9: .*none/);
    expect(stage.frame().stage.story?.title).toBe(story.title);
    expect(stage.order({ type: 'story', act: 'open', name: 'none' })?.code).toBe('UNKNOWN_STORY');
  });

  test('leaves what plays as it is where a step has no music, and pauses it or goes on as it says', () => {
    const stage = new OrderedStage();
    stage.order({ type: 'piece', act: 'start', name: 'trio-of-thirds', tempo: 1, loop: true });
    stage.send(text('Mine', 'play = "chord"\nhear = "pull"\n[[step]]\nsentence = "Two."\nplay = "on"'));
    expect(stage.frame()).toMatchObject({
      playing: { name: 'trio-of-thirds', isPaused: true },
      sounding: 'pull',
    });
    stage.tell('next');
    expect(stage.frame().playing).toMatchObject({ isPaused: false });
  });
});

test('of the places that come at once only the last is gone to, and an order after them finds it there', () => {
  const stage = new OrderedStage();
  stage.order({ type: 'piece', act: 'start', name: 'choir-warm-up', tempo: 1, loop: true });
  for (const value of [1000, 2000, 8000]) stage.order({ type: 'piece', act: 'seek', pass: 2, value });
  expect(stage.frame().playing?.pass.n).toBe(1);
  stage.order({ type: 'piece', act: 'pause', value: true });
  expect(stage.frame().playing).toMatchObject({ isPaused: true, positionMs: 8000, pass: { n: 2 } });
});

test('everything a viewer plays on the page sounds, and ends when all have gone', () => {
  const stage = new OrderedStage();
  stage.order({ type: 'play', act: 'on', key: 60, velocity: 80 }, 4);
  stage.order({ type: 'play', act: 'sustain', down: true }, 4);
  stage.order({ type: 'play', act: 'off', key: 60 }, 4);
  stage.order({ type: 'play', act: 'on', key: 64, velocity: 80 }, 5);
  expect(stage.model().voices.map(({ key }) => key)).toEqual([60, 64]);
  stage.order({ type: 'play', act: 'all-off' }, 4);
  expect(stage.model().voices.map(({ key }) => key)).toEqual([64]);
  stage.orders.silence();
  expect(stage.model().voices).toEqual([]);
});

test('the built-in story is the file that players can copy', () => {
  expect(readFileSync(`${DEMO}/story.toml`, 'utf8')).toContain(story.title);
});
