import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Bend,
  decideBend,
  decideKey,
  isWithinRange,
  toBendCents,
  toCarriedBend,
} from '../../../src/core/outlet/bend.js';
import { forAll } from '../../support/properties.js';

const range = fc.integer({ min: 1, max: 96 });
const decide = (cents: number, semitones: number): Bend => {
  const out: Bend = { value: 0, clamped: false };
  decideBend(cents, semitones, out);
  return out;
};

describe('decideBend', () => {
  test('errs by half a step at most wherever it does not clamp', () => {
    forAll([range, fc.double({ min: -1.2, max: 1.2, noNaN: true })], (semitones, share) => {
      const cents = share * 100 * semitones;
      const { value, clamped } = decide(cents, semitones);
      const halfAStep = (50 * semitones) / 8192;
      if (!clamped)
        expect(Math.abs(toBendCents(value, semitones) - cents)).toBeLessThanOrEqual(halfAStep + 1e-9);
      expect(clamped).toBe(!isWithinRange(cents, semitones));
      if (Math.abs(share) < 0.999) expect(clamped).toBe(false);
      if (Math.abs(share) > 1.001) expect(clamped).toBe(true);
    });
  });

  test('finds every bend value again from its cents', () => {
    forAll([range, fc.nat(16383)], (semitones, value) => {
      expect(decide(toBendCents(value, semitones), semitones)).toEqual({ value, clamped: false });
    });
  });

  test('forgets an earlier clamp', () => {
    const out: Bend = { value: 0, clamped: false };
    decideBend(1000, 2, out);
    decideBend(0, 2, out);
    expect(out).toEqual({ value: 8192, clamped: false });
  });
});

test.each([
  // key, cents, input bend, range, sent key
  [60, 6000, 0, 2, 60],
  [60, 6098.5, 0, 2, 60],
  [60, 6100, 0, 2, 60], // a semitone, no further
  [60, 6100.1, 0, 2, 61],
  [60, 5890, 0, 48, 59],
  [60, 8150, 0, 2, 82], // half way goes up
  [60, 6099.999, 0, 1, 61], // within a semitone, but one step beyond the range
  [60, 5900, 0, 1, 60], // the range reaches a whole semitone down
  [60, 6013, 190, 2, 60], // the wheel alone carries it past the range: it gives way
  [60, 6013, 190, 12, 60], // here it doesn't
  [60, 6000, 1200, 2, 60], // an octave of wheel is no other key either: the note comes back with the wheel
  [60, 6060, 190, 2, 61], // beside the tuning there is room for the wheel on the next key only
  [60, 6213, -300, 2, 62], // drift and wheel: the drift alone chooses the key
  [127, 13_500, 0, 2, 127], // no key there
  [0, -340, 0, 2, 0],
  [60, 9000, 0, Number.POSITIVE_INFINITY, 90],
])('decideKey sends key %d at %d cents, wheel %d, range %d as key %d', (key, cents, wheel, range, sent) => {
  expect(decideKey(key, cents, wheel, range)).toBe(sent);
});

test('decideKey never clamps a pitch within the range of keys', () => {
  const cents = fc.double({ min: 0, max: 12_700, noNaN: true });
  forAll([fc.nat(127), cents, fc.integer({ min: 1, max: 96 })], (key, pitch, range) => {
    const sent = decideKey(key, pitch, 0, range);
    expect(isWithinRange(pitch - 100 * sent, range)).toBe(true);
    expect(Math.abs(pitch - 100 * sent)).toBeLessThanOrEqual(100);
    if (sent !== key) expect(Math.abs(pitch - 100 * sent)).toBeLessThanOrEqual(50);
  });
});

test.each([
  // wheel, tuning, range, carried. The top of 2 semitones is 200 · 8191/8192 = 199.976 cents, the bottom is -200
  [100, 13.3, 2, 100],
  [200, -13.7, 2, 200], // 186.3 sounds
  [200, 13.3, 2, 186.676], // 199.976 - 13.3
  [1200, 13.3, 2, 186.676],
  [-1200, 13.3, 2, -213.3], // -200 sounds
  [-200, -13.7, 2, -186.3],
  [1200, 13.3, 14, 1200],
  [1200, -300, 2, 499.976], // the wheel brings it back into the range
  [200, 250, 2, 0], // the tuning alone is beyond the range
  [-100, -250, 2, 0],
])(
  'of a wheel at %d cents, beside a tuning of %d, a range of %d carries %d',
  (wheel, tuning, range, carried) => {
    expect(toCarriedBend(wheel, tuning, range)).toBeCloseTo(carried, 3);
  },
);

test('a carried bend is part of the wheel, and never clamps where the tuning alone does not', () => {
  const cents = fc.double({ min: -1300, max: 1300, noNaN: true });
  const off = fc.double({ min: -99, max: 99, noNaN: true });
  forAll([cents, off, fc.integer({ min: 1, max: 96 })], (wheel, tuning, range) => {
    const carried = toCarriedBend(wheel, tuning, range);
    expect(carried * wheel).toBeGreaterThanOrEqual(0);
    expect(Math.abs(carried)).toBeLessThanOrEqual(Math.abs(wheel));
    expect(isWithinRange(tuning + carried, range)).toBe(true);
  });
});
