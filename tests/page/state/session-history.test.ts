import { describe, expect, test } from 'vitest';
import { forStrategies } from '../../../src/core/protocol/index.js';
import { SessionHistory } from '../../../src/page/state/session-history.js';
import { keysOf } from '../../support/play.js';
import { Trio } from '../../support/trio.js';
import { frameOf } from '../frames.js';

const at = (atMs: number, frame = frameOf('C4')) => ({ ...frame, atMs });

describe('SessionHistory', () => {
  test('begins with the drift curves of a snapshot and goes on from there', () => {
    const log = new SessionHistory();
    log.add(at(77));
    log.begin({ atMs: [0, 1000], free: [0, -3], pull: [0, -2], anchored: [0, -1], temper: [0, 0] }, 'one');
    log.add(at(2000));
    expect(log.seconds).toEqual([0, 1, 2]);
    expect(log.free.slice(0, 2)).toEqual([0, -3]);
  });

  test('stores crowded frames as one point, the latest, and leaves out an older one', () => {
    const log = new SessionHistory();
    for (const ms of [0, 33, 66, 99, 132, 50]) log.add(at(ms));
    expect(log.seconds).toEqual([0, 0.066, 0.132]);
  });

  test('stays bounded after an hour of frames, and has the last ten minutes', () => {
    const log = new SessionHistory();
    const frame = frameOf('C4');
    for (let ms = 0; ms < 3_600_000; ms += 50) log.add({ ...frame, atMs: ms });
    expect(log.seconds.length).toBeLessThan(14_000);
    expect(log.seconds[0]).toBeLessThanOrEqual(3000);
    expect(log.seconds[0]).toBeGreaterThan(2900);
    expect(log.free).toHaveLength(log.seconds.length);
  });

  test('logs a chord once, when it has settled', () => {
    const log = new SessionHistory();
    const trio = new Trio();
    for (const key of keysOf('C4 E4 G4')) trio.tell({ kind: 'note-on', atMs: 0, part: 0, key });
    log.add(trio.frame());
    expect(log.chords).toEqual([]);
    for (let i = 0; i < 3; i++) log.add(trio.wait(60).frame());
    expect(log.chords).toMatchObject([{ atMs: 0, names: 'C4⁰ E4⁻¹ G4⁰', proportion: '4:5:6' }]);
    const [c, e, g] = [0, 0, 1].map((threes, i) => [threes, i === 1 ? 1 : 0]);
    expect(log.chords[0].centre[0]).toBeCloseTo((c[0] + e[0] + g[0]) / 3, 9);
    expect(log.chords[0].centre[1]).toBeCloseTo(1 / 3, 9);
    expect(log.chordAt(59)?.proportion).toBe('4:5:6');
  });

  test('still has chords after a lost link, but not after their session', () => {
    const curve = { atMs: [], free: [], pull: [], anchored: [], temper: [] };
    const log = new SessionHistory();
    log.begin(curve, 'one');
    const trio = new Trio();
    for (const key of keysOf('C4 E4 G4')) trio.tell({ kind: 'note-on', atMs: 0, part: 0, key });
    log.add(trio.wait(60).frame());
    log.begin(curve, 'one');
    // The same chord still sounds: it is not logged twice.
    log.add(trio.wait(60).frame());
    expect(log.chords).toHaveLength(1);
    log.begin(curve, 'another');
    expect(log.chords).toEqual([]);
  });

  test('forgets its chords when the music begins again, and not when a snapshot of the same music comes', () => {
    const curve = { atMs: [], free: [], pull: [], anchored: [], temper: [] };
    const passes = [1, 2].map((n) => ({ n, atMs: 1000 * n, left: forStrategies(() => 0) }));
    const log = new SessionHistory();
    log.begin(curve, 'one', passes);
    log.add(frameOf('C4 E4 G4'));
    log.begin(curve, 'one', passes);
    log.begin(curve, 'one', passes.slice(1));
    expect(log.chords).toHaveLength(1);
    log.begin(curve, 'one', [{ ...passes[0], atMs: 5000 }]);
    expect(log.chords).toEqual([]);
  });
});
