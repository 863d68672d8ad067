import { expect, test } from 'vitest';
import { SessionMonitor } from '../../../src/core/monitor/index.js';
import { STRATEGIES } from '../../../src/core/protocol/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { FACTS } from '../../support/feed-stage.js';
import { TIED_PUMP } from '../../support/pumps.js';
import { toRows } from '../../support/rows.js';

const START = { settings: toSettings({}), facts: FACTS, pieces: [], session: 'of today' };
const COUNTERS = { droppedFrames: 0, viewers: 0 };

/** A state that was told the chords of the pump, 900 ms each. @param perChord called after each */
function pumped(perChord: (state: SessionMonitor) => void = () => {}): SessionMonitor {
  const state = new SessionMonitor(START);
  let nowMs = 0;
  for (const { lift, strike } of TIED_PUMP) {
    const key = (kind: 'note-on' | 'note-off') => (one: number) =>
      void state.take(toRows({ kind, atMs: nowMs, part: 0, key: one }));
    lift.forEach(key('note-off'));
    strike.forEach(key('note-on'));
    nowMs += 900;
    state.take(toRows({ kind: 'time', atMs: nowMs }));
    perChord(state);
  }
  return state;
}

test('a snapshot taken before a frame was made holds what the frame would have told', () => {
  const state = pumped();
  const snapshot = state.toSnapshot();
  const again = new SessionMonitor(START, structuredClone(snapshot)).toViewerSnapshot(false, COUNTERS);
  state.record();
  const { entries } = state.frame(COUNTERS);
  expect(new Set(entries.map(({ strategy }) => strategy)).size).toBeGreaterThan(1);
  expect(again.frame.entries).toEqual(entries);
  expect(again.course).toEqual(state.toViewerSnapshot(false, COUNTERS).course);
  expect(again.course.atMs).toEqual([900 * TIED_PUMP.length]);
});

test('taking a snapshot changes nothing that is shown', () => {
  const [looked, kept] = [false, true].map((keeps) => {
    const frames: unknown[] = [];
    const state = pumped((state) => {
      if (keeps) state.toSnapshot();
      state.record();
      frames.push(state.frame(COUNTERS));
    });
    return { frames, snapshot: state.toViewerSnapshot(true, COUNTERS) };
  });
  expect(kept).toEqual(looked);
  expect(kept.frames).toHaveLength(TIED_PUMP.length);
  for (const strategy of STRATEGIES) expect(kept.snapshot.course[strategy]).toHaveLength(TIED_PUMP.length);
});
