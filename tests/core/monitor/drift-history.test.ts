import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DriftHistory } from '../../../src/core/monitor/index.js';
import { LIMITS } from '../../../src/core/protocol/index.js';
import { forAll } from '../../support/properties.js';

const at = (atMs: number, free: number) => ({ atMs, free, pull: 0, anchored: 1, temper: 2 });

describe('DriftHistory', () => {
  test('stores a stretch without changes as its two ends', () => {
    const curve = new DriftHistory();
    for (let ms = 0; ms <= 1000; ms += 100) curve.record(at(ms, -5));
    curve.record(at(1100, -7));
    expect(curve.toFact()).toEqual({
      atMs: [0, 1000, 1100],
      free: [-5, -5, -7],
      pull: [0, 0, 0],
      anchored: [1, 1, 1],
      temper: [2, 2, 2],
    });
  });

  test('stores changes within fifty milliseconds as one point, the latest', () => {
    const curve = new DriftHistory();
    for (const ms of [0, 100, 110, 120, 130, 140]) curve.record(at(ms, ms));
    expect(curve.toFact().atMs).toEqual([0, 100, 140]);
  });

  test('stores a moment given twice as one point, and a jump as two', () => {
    const curve = new DriftHistory();
    for (const cents of [-5, -5]) curve.record(at(0, cents));
    expect(curve.toFact().atMs).toEqual([0]);
    for (const cents of [-5, -5, -7, -7]) curve.record(at(100, cents));
    expect(curve.toFact()).toMatchObject({ atMs: [0, 100, 100], free: [-5, -5, -7] });
  });

  test('stays within its bound after a day of playing, reaches back ten minutes, and ends at the present', () => {
    const curve = new DriftHistory();
    let worst = 0;
    for (let ms = 0; ms < 1_500_000; ms += 120) {
      curve.record(at(ms, Math.sin(ms)));
      worst = Math.max(worst, curve.toFact().atMs.length);
    }
    const { atMs } = curve.toFact();
    expect(worst).toBe(LIMITS.driftCurve);
    expect(atMs.at(-1)! - atMs[0]).toBeGreaterThan(LIMITS.driftCurveMs - 10_000);
    expect(atMs.at(-1)! - atMs[0]).toBeLessThan(LIMITS.driftCurveMs + 60_000);
    // Nowhere is it much coarser than a hundredth of how long ago it was.
    for (let i = 1; i < atMs.length; i++) {
      expect(atMs[i] - atMs[i - 1]).toBeLessThan(250 + 0.015 * (atMs.at(-1)! - atMs[i - 1]));
    }
    // The present is finer than the past.
    expect(atMs.at(-1)! - atMs.at(-20)!).toBeLessThan(atMs[19] - atMs[0]);
  });

  test('has curves that are in order and equally long', () => {
    forAll([fc.array(fc.tuple(fc.nat(500), fc.double({ noNaN: true, min: -90, max: 90 })))], (steps) => {
      const curve = new DriftHistory();
      let ms = 0;
      for (const [wait, cents] of steps) {
        ms += wait;
        curve.record(at(ms, cents));
      }
      const { atMs, free } = curve.toFact();
      expect(free).toHaveLength(atMs.length);
      expect(atMs).toEqual([...atMs].sort((a, b) => a - b));
      const last = steps.at(-1)?.[1];
      if (last !== undefined) expect(free.at(-1)).toBe(Math.round(last * 100) / 100 + 0);
    });
  });
});
