import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  formatTuningChange,
  isBeyondTuning,
  TOP_TUNING,
  toTuning,
} from '../../../src/core/outlet/tuning-word.js';
import { forAll } from '../../support/properties.js';

test('toTuning errs by half a step at most, in legal bytes', () => {
  forAll([fc.double({ min: -100, max: 12_900, noNaN: true })], (cents) => {
    const bytes = formatTuningChange(0x7f, 0, 60, toTuning(cents)).slice(8, 11);
    for (const byte of bytes) expect(byte).toBeLessThanOrEqual(0x7f);
    expect([...bytes]).not.toEqual([0x7f, 0x7f, 0x7f]);
    const [xx, yy, zz] = bytes;
    const sounding = 100 * xx + ((128 * yy + zz) * 100) / 16384;
    if (!isBeyondTuning(cents)) expect(Math.abs(sounding - cents)).toBeLessThanOrEqual(50 / 16384 + 1e-9);
  });
});

test('toTuning clamps at both ends and says so', () => {
  expect([toTuning(-1), isBeyondTuning(-1), isBeyondTuning(0)]).toEqual([0, true, false]);
  expect([toTuning(12_800), isBeyondTuning(12_800), isBeyondTuning(12_799.98)]).toEqual([
    TOP_TUNING,
    true,
    false,
  ]);
});
