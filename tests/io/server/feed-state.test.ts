import { expect, test } from 'vitest';
import { STRATEGIES } from '../../../src/core/feed/index.js';
import { toKeptSettings, toSettings } from '../../../src/core/tuner/index.js';
import { FeedState } from '../../../src/io/server/feed-state.js';
import { ROW } from '../../../src/io/server/rows.js';
import { FACTS } from '../../support/feed-stage.js';
import { TIED_PUMP } from '../../support/pumps.js';

const START = { settings: toKeptSettings(toSettings({})), facts: FACTS, pieces: [], session: 'of today' };
const COUNTERS = { droppedFrames: 0, viewers: 0 };

/** A state that was told the chords of the pump, 900 ms each. @param perChord called after each */
function pumped(perChord: (state: FeedState) => void = () => {}): FeedState {
  const state = new FeedState(START);
  let nowMs = 0;
  const row = (what: number, data: number) =>
    void state.take({ kind: 'rows', rows: Float64Array.of(what, nowMs, 0, data) });
  for (const { lift, strike } of TIED_PUMP) {
    for (const key of lift) row(ROW.heard, (0x80 << 16) | (key << 8) | 64);
    for (const key of strike) row(ROW.heard, (0x90 << 16) | (key << 8) | 80);
    nowMs += 900;
    row(ROW.time, 0);
    perChord(state);
  }
  return state;
}

test('what was kept before a frame was made of it has in it what the frame would have told', () => {
  const state = pumped();
  const kept = state.keep();
  const again = new FeedState(START, structuredClone(kept)).snapshot(false, COUNTERS);
  state.record();
  const { entries } = state.frame(COUNTERS);
  expect(new Set(entries.map(({ strategy }) => strategy)).size).toBeGreaterThan(1);
  expect(again.frame.entries).toEqual(entries);
  expect(again.course).toEqual(state.snapshot(false, COUNTERS).course);
  expect(again.course.atMs).toEqual([900 * TIED_PUMP.length]);
});

test('keeping it changes nothing that is shown', () => {
  const [looked, kept] = [false, true].map((keeps) => {
    const frames: unknown[] = [];
    const state = pumped((state) => {
      if (keeps) state.keep();
      state.record();
      frames.push(state.frame(COUNTERS));
    });
    return { frames, snapshot: state.snapshot(true, COUNTERS) };
  });
  expect(kept).toEqual(looked);
  expect(kept.frames).toHaveLength(TIED_PUMP.length);
  for (const strategy of STRATEGIES) expect(kept.snapshot.course[strategy]).toHaveLength(TIED_PUMP.length);
});
