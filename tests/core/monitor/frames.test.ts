import { describe, expect, test } from 'vitest';
import { DriftHistory, toSettingsFact } from '../../../src/core/monitor/index.js';
import {
  type Downstream,
  FEED_VERSION,
  FRAMES_PER_SECOND,
  formatMessage,
  forStrategies,
  LIMITS,
  parseDownstream,
} from '../../../src/core/protocol/index.js';
import { keysOf } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { playing, settings } from '../../support/random-playing.js';
import { Trio } from '../../support/trio.js';

describe('toFrame', () => {
  test('gives frames that pass the check at the other end unchanged, whatever is played', () => {
    forAll([playing(25), settings()], 40, (events, chosen) => {
      const { strategy, leewayCents: _own, ...others } = chosen;
      const trio = new Trio(others, strategy);
      for (const event of events) {
        trio.tell(event);
        const frame = trio.frame();
        expect(parseDownstream(formatMessage(frame))).toEqual({ ok: true, value: frame });
      }
    });
  });

  test('has no notes in silence, and describes the last chord', () => {
    const trio = new Trio();
    expect(trio.frame()).toMatchObject({ notes: [], strikeMs: null, sounding: 'anchored' });
    trio.chord(keysOf('C4 E4 G4')).tell({ kind: 'silence', atMs: trio.nowMs, part: 0 });
    const frame = trio.frame();
    expect(frame.notes).toEqual([]);
    expect(frame.recalled.map((one) => one.name)).toEqual(['C4⁰', 'E4⁻¹', 'G4⁰']);
    expect(frame.drift.free).toMatchObject({ meanCents: null, ratio: '1/1' });
  });

  test('names no strategy as heard with the bypass on, and has the facts all the same', () => {
    const frame = new Trio({}, 'pull').chord(keysOf('C4 E4')).frame({ bypass: true });
    expect(frame.sounding).toBe(null);
    expect(frame.notes.map((note) => note.toBass)).toEqual(['1/1', '5/4']);
  });

  test('sends the newest of too many entries', () => {
    const trio = new Trio().chord(keysOf('C4 E4 G4'));
    const [entry] = trio.entries;
    const entries = Array.from({ length: LIMITS.entries + 10 }, (_, i) => ({ ...entry, n: i + 1 }));
    const frame = trio.frame({ entries });
    expect(frame.entries).toHaveLength(LIMITS.entries);
    expect(frame.entries.at(-1)?.n).toBe(LIMITS.entries + 10);
    expect(parseDownstream(formatMessage(frame)).ok).toBe(true);
  });

  test('costs a viewer under 80 kB a second with four notes', () => {
    const trio = new Trio().chord(keysOf('C3 E4 G4 C5'));
    trio.frame();
    const aSecond = FRAMES_PER_SECOND * formatMessage(trio.wait(33).frame()).length;
    expect(aSecond).toBeLessThan(80_000);
  });
});

test('a snapshot stays within its bound with everything at its longest, and passes its check', () => {
  const trio = new Trio();
  trio.tell({ kind: 'pedal', atMs: 0, part: 0, pedal: 'sustain', down: true });
  for (let key = 20; key < 20 + LIMITS.notes; key++) trio.tell({ kind: 'note-on', atMs: key, part: 0, key });
  const [entry] = trio.wait(100).entries;
  const entries = Array.from({ length: LIMITS.entries }, (_, i) => ({ ...entry, n: i + 1 }));
  const course = new DriftHistory();
  for (let i = 0; i < LIMITS.driftCurve; i++) {
    course.record({
      atMs: 1e9 + 400 * i,
      free: -1234.56 - i,
      pull: -12.34 - i,
      anchored: -8.76 + i,
      temper: -3.21 - i,
    });
  }
  const name = 'n'.repeat(LIMITS.name);
  const session = {
    leewayCents: { pull: 2, anchored: 8 },
    bypass: false,
    stories: Array<string>(8).fill('s'.repeat(LIMITS.text)),
    inputs: Array<string>(LIMITS.ports).fill(name),
    outputs: Array<string>(LIMITS.ports).fill(name),
    addresses: Array<string>(LIMITS.addresses).fill('x'.repeat(LIMITS.text)),
    carries: 'nothing' as const,
  };
  const snapshot: Downstream = {
    type: 'snapshot',
    version: FEED_VERSION,
    session: name,
    mayControl: false,
    settings: toSettingsFact(trio.tuners.anchored.settings, session),
    pieces: Array.from({ length: LIMITS.pieces }, () => ({ name, title: 't'.repeat(LIMITS.text) })),
    course: course.toFact(),
    passes: Array.from({ length: LIMITS.passes }, (_, i) => ({
      n: i + 1,
      atMs: 1e9 + i,
      left: forStrategies(() => -1234.567),
    })),
    score: {
      name,
      chords: Array.from({ length: LIMITS.chords }, (_, i) => ({
        atMs: 1e6 + 333.333 * i,
        symbol: 'F♯m7♭5/C♯',
        keys: Array.from({ length: 16 }, (_, k) => 100 + k),
      })),
      barsMs: Array.from({ length: LIMITS.bars }, (_, i) => 1e6 + 333.333 * i),
    },
    frame: trio.frame({ entries }),
  };
  expect(snapshot.course.atMs).toHaveLength(LIMITS.driftCurve);
  expect(parseDownstream(formatMessage(snapshot))).toEqual({ ok: true, value: snapshot });
  expect(formatMessage(snapshot).length).toBeLessThan(LIMITS.downstreamCharacters);
});
