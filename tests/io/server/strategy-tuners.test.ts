import { describe, expect, test } from 'vitest';
import { forStrategies, STRATEGIES } from '../../../src/core/feed/index.js';
import { playMessage } from '../../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../../src/core/tuner/index.js';
import { StrategyTuners } from '../../../src/io/server/strategy-tuners.js';
import { TIED_PUMP } from '../../support/pumps.js';

const LEEWAYS = { pull: 5, anchored: 3 };
const ANCHORED = toSettings({ strategy: 'anchored', leewayCents: 3 });

/** Tuners of all strategies, with the notes that began and ended under each. */
function open() {
  const begun = forStrategies((): number[] => []);
  const ended = forStrategies((): number[] => []);
  const outs = forStrategies((which: Strategy) => ({
    start: (_atMs: number, note: { key: number }) => void begun[which].push(note.key),
    retune: () => {},
    release: () => {},
    end: (_atMs: number, note: { key: number }) => void ended[which].push(note.key),
    enter: () => {},
  }));
  const tuners = new StrategyTuners(ANCHORED, LEEWAYS, outs);
  const play = (atMs: number, status: number, ...keys: number[]) => {
    for (const key of keys)
      tuners.each((tuner, out) => playMessage(tuner, atMs, 0, status, key, status === 0x90 ? 80 : 64, out));
  };
  return { tuners, outs, begun, ended, play };
}

/** A pump that falls a comma; the last chord sounds on. */
function pump(play: (atMs: number, status: number, ...keys: number[]) => void): void {
  TIED_PUMP.forEach(({ lift, strike }, i) => {
    play(900 * i, 0x80, ...lift);
    play(900 * i, 0x90, ...strike);
  });
}

test('each has its strategy, and the leeway of it', () => {
  const { tuners } = open();
  for (const which of STRATEGIES) expect(tuners.all[which].settings.strategy).toBe(which);
  expect(tuners.all.pull.settings.leewayCents).toBe(5);
  expect(tuners.all.anchored.settings.leewayCents).toBe(3);
  expect(tuners.strategy).toBe('anchored');
  expect(tuners.sounding).toBe(tuners.all.anchored);
});

test('all are told the same, and tell their own', () => {
  const { tuners, begun, play } = open();
  play(0, 0x90, 60, 64);
  expect(begun).toEqual(forStrategies(() => [60, 64]));
  tuners.pass(500);
  for (const which of STRATEGIES) expect(tuners.all[which].nowMs).toBe(500);
  expect(tuners.isMoving).toBe(false);
});

describe('other settings', () => {
  test('while everything sounds: nothing ends, and the new strategy stands where the old one stood', () => {
    const { tuners, ended, play } = open();
    pump(play);
    tuners.pass(4500);
    const before = tuners.sounding.offset.cents;
    expect(tuners.all.free.offset.cents).not.toBeCloseTo(before, 1);
    const endedBefore = structuredClone(ended);
    tuners.retell(toSettings({ strategy: 'free' }), LEEWAYS, 4500);
    expect(tuners.strategy).toBe('free');
    expect(tuners.sounding.offset.cents).toBeCloseTo(before, 9);
    expect(ended).toEqual(endedBefore);
    expect(tuners.sounding.notes.map(({ key }) => key).sort()).toEqual([60, 64, 67]);
  });

  test('in silence: what sounded has ended, under every strategy', () => {
    const { tuners, ended, play } = open();
    play(0, 0x90, 60, 64);
    tuners.retell(toSettings({ strategy: 'free', limit: 7 }), LEEWAYS, null);
    expect(ended).toEqual(forStrategies(() => [60, 64]));
    for (const which of STRATEGIES) {
      expect(tuners.all[which].notes).toEqual([]);
      expect(tuners.all[which].settings.limit).toBe(7);
    }
  });
});

test('begun anew, nothing sounds, and times and numbers go on', () => {
  const { tuners, play } = open();
  play(100, 0x90, 60, 64);
  const { nextId } = tuners.sounding;
  tuners.restart();
  for (const which of STRATEGIES) expect(tuners.all[which]).toMatchObject({ notes: [], nowMs: 100, nextId });
});

test('what is kept goes on elsewhere; while a strike is open nothing is', () => {
  const { tuners, outs, play } = open();
  pump(play);
  expect(tuners.keep()).toBeUndefined();
  tuners.pass(4500);
  const kept = tuners.keep();
  if (kept === undefined) throw new Error('no strike is open');
  const next = new StrategyTuners(ANCHORED, LEEWAYS, outs, structuredClone(kept));
  for (const which of STRATEGIES) expect(next.all[which].offset).toEqual(tuners.all[which].offset);
  expect(next.sounding.notes).toHaveLength(3);
});
