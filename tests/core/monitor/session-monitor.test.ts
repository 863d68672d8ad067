import { expect, test } from 'vitest';
import { SessionMonitor, SessionRows } from '../../../src/core/monitor/index.js';
import { forStrategies, LIMITS, STRATEGIES } from '../../../src/core/protocol/index.js';
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

test('a snapshot of a session monitor before a frame has what the frame would have shown', () => {
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

test('taking a snapshot of a session monitor changes nothing that it shows', () => {
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

test('a session monitor stores with each pass the drift that the passes before have left', () => {
  const state = pumped();
  const tell = (n: number) =>
    state.take({
      kind: 'playing',
      playing: {
        name: 'a',
        title: 'A',
        tempo: 1,
        loop: true,
        isPaused: false,
        pass: { n, atMs: n },
        atMs: 0,
        positionMs: 0,
        lengthMs: 1,
        fromMs: 0,
        toMs: 1,
      },
    });
  tell(2);
  const { passes, frame } = state.toViewerSnapshot(true, COUNTERS);
  expect(passes).toEqual([{ n: 2, atMs: 2, left: forStrategies((which) => frame.drift[which].leftCents) }]);
  expect(passes[0].left.free).toBe(-21.506);
});

/** A monitor that was told one note, middle C, sent on channel 2 with a bend. */
function withNote(carries: 'channel and bend' | 'channel' | 'nothing'): SessionMonitor {
  const monitor = new SessionMonitor({ ...START, facts: { ...FACTS, carries } });
  const rows = new SessionRows(3);
  rows.event({ kind: 'note-on', atMs: 0, part: 0, key: 60, velocity: 70 });
  rows.bendSent(2, 7631);
  rows.noteSent(2);
  expect(monitor.take({ kind: 'rows', rows: rows.take() })).toBe('frame');
  return monitor;
}

test.each([
  ['channel and bend', 2, 7631],
  ['channel', 2, null],
  ['nothing', null, null],
] as const)(
  'an outlet to which %s means something shows channel %j and bend %j of a note',
  (carries, channel, bend) => {
    const { notes } = withNote(carries).frame(COUNTERS);
    expect(notes).toMatchObject([{ key: 60, velocity: 70, channel, bend }]);
  },
);

test('a session monitor takes rows with nothing but the time as no news', () => {
  const monitor = new SessionMonitor(START);
  expect(monitor.take(toRows({ kind: 'time', atMs: 40 }))).toBe('nothing');
  expect(monitor.take({ kind: 'rows', rows: Float64Array.of(99, 40, 0, 0, 0, 0, 0, 0) })).toBe('nothing');
  expect(monitor.frame(COUNTERS).atMs).toBe(40);
});

test('a session monitor shows viewers changed settings and facts', () => {
  const monitor = new SessionMonitor(START);
  const settings = toSettings({ strategy: 'free' });
  expect(monitor.take({ kind: 'settings', atMs: 10, settings, facts: FACTS })).toBe('settings');
  expect(monitor.settings()).toMatchObject({ strategy: 'free', bypass: false, outputs: ['Synth'] });
  expect(monitor.take({ kind: 'facts', atMs: 0, facts: { ...FACTS, bypass: true } })).toBe('settings');
  expect(monitor.settings().bypass).toBe(true);
  expect(monitor.frame(COUNTERS).sounding).toBeNull();
});

test('a session monitor takes figures as news only where they differ, and counts struck notes', () => {
  const monitor = withNote('channel');
  const { notes: _, droppedFrames: __, viewers: ___, ...counters } = monitor.frame(COUNTERS).counters;
  const figures = { ...counters, medianMs: 0.04, notes: 0 };
  expect(monitor.take({ kind: 'figures', counters: figures, health: {} })).toBe('frame');
  expect(monitor.take({ kind: 'figures', counters: { ...figures }, health: {} })).toBe('nothing');
  expect(monitor.frame({ droppedFrames: 3, viewers: 2 }).counters).toMatchObject({
    medianMs: 0.04,
    notes: 1,
    droppedFrames: 3,
    viewers: 2,
  });
});

test('notices and answers change nothing that a session monitor shows', () => {
  const monitor = new SessionMonitor(START);
  expect(monitor.take({ kind: 'notice', level: 'info', text: 'so' })).toBe('nothing');
  const message = { type: 'rights', mayControl: true } as const;
  expect(monitor.take({ kind: 'answer', viewer: 1, message })).toBe('nothing');
});

test('a session monitor has the time of a playing piece, and stores each pass once', () => {
  const monitor = new SessionMonitor(START);
  const stretch = { lengthMs: 1000, fromMs: 0, toMs: 1000 };
  const place = { isPaused: false, positionMs: 100, atMs: 1000 };
  const piece = { name: 'choir', title: 'A choir', tempo: 2, loop: true, ...stretch, ...place };
  const tell = (n: number, atMs: number) =>
    monitor.take({ kind: 'playing', playing: { ...piece, pass: { n, atMs } } });
  expect(monitor.isAlive).toBe(false);
  expect(tell(1, 1000)).toBe('frame');
  expect(monitor.isAlive).toBe(true);
  tell(1, 1000);
  tell(2, 1500);
  monitor.take(toRows({ kind: 'time', atMs: 1250.4 }));
  expect(monitor.frame(COUNTERS).playing).toMatchObject({ name: 'choir', positionMs: 601, pass: { n: 2 } });
  monitor.take(toRows({ kind: 'time', atMs: 9000 }));
  expect(monitor.frame(COUNTERS).playing?.positionMs).toBe(1000);
  const paused = { ...piece, isPaused: true, pass: { n: 2, atMs: 1500 } };
  monitor.take({ kind: 'playing', playing: paused });
  expect(monitor.frame(COUNTERS).playing).toMatchObject({ isPaused: true, positionMs: 100 });
  const next = new SessionMonitor(START, structuredClone(monitor.toSnapshot()));
  const { passes, frame } = next.toViewerSnapshot(true, COUNTERS);
  const left = forStrategies(() => 0);
  expect(passes).toEqual([
    { n: 1, atMs: 1000, left },
    { n: 2, atMs: 1500, left },
  ]);
  expect(frame.playing?.name).toBe('choir');
  expect(monitor.take({ kind: 'playing', playing: null })).toBe('frame');
  expect(monitor.frame(COUNTERS).playing).toBeNull();
});

test('a session monitor gives no snapshot while a strike is open', () => {
  expect(withNote('channel').toSnapshot()).toBeUndefined();
});

test('a session monitor drops the oldest of too many ledger entries', () => {
  const monitor = new SessionMonitor({ ...START, settings: toSettings({ strategy: 'free' }) });
  for (let n = 0; n < 300; n++) {
    const atMs = 300 * n;
    const keys = n % 2 === 0 ? [60, 64, 67] : [61, 65, 68];
    for (const kind of ['note-on', 'note-off'] as const)
      monitor.take(
        toRows(...keys.map((key) => ({ kind, atMs: kind === 'note-on' ? atMs : atMs + 250, part: 0, key }))),
      );
    monitor.take(toRows({ kind: 'home', atMs: atMs + 260, when: 'next' }));
  }
  const { entries } = monitor.frame(COUNTERS);
  expect(entries.length).toBeGreaterThan(0);
  expect(entries.length).toBeLessThanOrEqual(LIMITS.entries);
});

test('a session monitor that begins again has the past as if it had seen it, and nothing of before', () => {
  const monitor = pumped((state) => state.record());
  const rowsOf = (fromMs: number) => {
    const rows = new SessionRows(40);
    TIED_PUMP.forEach(({ lift, strike }, i) => {
      const head = { atMs: fromMs + 900 * i, part: 0 };
      for (const key of lift) rows.event({ kind: 'note-off', ...head, key });
      for (const key of strike) rows.event({ kind: 'note-on', ...head, key });
    });
    rows.event({ kind: 'silence', atMs: fromMs + 4400, part: 0 });
    return rows.take();
  };
  const passes = [
    { n: 1, atMs: -4500, rows: rowsOf(-4500) },
    { n: 2, atMs: 0, rows: rowsOf(0) },
  ];
  expect(monitor.take({ kind: 'rebuilt', atMs: 4500, nextId: 100, passes })).toBe('rebuilt');
  const snapshot = monitor.toViewerSnapshot(true, COUNTERS);
  expect(snapshot.passes.map(({ n, atMs }) => [n, atMs])).toEqual([
    [1, -4500],
    [2, 0],
  ]);
  expect(snapshot.passes[0].left).toEqual(forStrategies(() => 0));
  monitor.frame(COUNTERS);
  const { frame, course } = monitor.toViewerSnapshot(true, COUNTERS);
  expect(frame.atMs).toBe(4500);
  expect(frame.notes).toEqual([]);
  expect(frame.drift.free.commaCents).toBeCloseTo(-2 * 21.506, 2);
  // The notes of the past don't count as played.
  expect(frame.counters.notes).toBe(10);
  const free = frame.entries.filter(({ strategy }) => strategy === 'free');
  expect(free.map(({ n }) => n)).toEqual(free.map((_, i) => i + 1));
  expect(new Set(free.map(({ pass }) => pass))).toEqual(new Set([1, 2]));
  expect(course.atMs[0]).toBe(-4500);
  // Five chords a pass; in the silence between the passes the drift stays.
  const at = (ms: number) => course.free[course.atMs.findIndex((one) => one >= ms)];
  expect(at(-4460)).toBeCloseTo(0, 1);
  expect(at(-50)).toBeCloseTo(-21.5, 1);
  expect(at(3640)).toBeLessThan(-2 * 21.5 + 1);
});
