import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Bend, decideBend, isWithinRange, toBendCents } from '../../../src/core/outlet/bend.js';

const range = fc.integer({ min: 1, max: 96 });
const decide = (cents: number, semitones: number): Bend => {
  const out: Bend = { value: 0, clamped: false };
  decideBend(cents, semitones, out);
  return out;
};

describe('decideBend', () => {
  it('errs by half a step at most wherever it does not clamp', () => {
    fc.assert(
      fc.property(range, fc.double({ min: -1.2, max: 1.2, noNaN: true }), (semitones, share) => {
        const cents = share * 100 * semitones;
        const { value, clamped } = decide(cents, semitones);
        const halfAStep = (50 * semitones) / 8192;
        if (!clamped)
          expect(Math.abs(toBendCents(value, semitones) - cents)).toBeLessThanOrEqual(halfAStep + 1e-9);
        expect(clamped).toBe(!isWithinRange(cents, semitones));
        if (Math.abs(share) < 0.999) expect(clamped).toBe(false);
        if (Math.abs(share) > 1.001) expect(clamped).toBe(true);
      }),
    );
  });

  it('finds every value again from the cents it stands for', () => {
    fc.assert(
      fc.property(range, fc.nat(16383), (semitones, value) => {
        expect(decide(toBendCents(value, semitones), semitones)).toEqual({ value, clamped: false });
      }),
    );
  });

  it('forgets an earlier clamp', () => {
    const out: Bend = { value: 0, clamped: false };
    decideBend(1000, 2, out);
    decideBend(0, 2, out);
    expect(out).toEqual({ value: 8192, clamped: false });
  });
});
