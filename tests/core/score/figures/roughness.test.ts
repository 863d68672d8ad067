import { describe, expect, it } from 'vitest';
import {
  type Partial,
  toPairRoughness,
  toPartials,
  toRoughness,
} from '../../../../src/core/score/figures/beats.js';

/** n equal partials, or 1/n ones, on a tone and another `cents` above it. */
function dyad(hz: number, cents: number, partials: number, amplitude: (n: number) => number): Partial[] {
  return [hz, hz * 2 ** (cents / 1200)].flatMap((base) =>
    Array.from({ length: partials }, (_, i) => ({ hz: (i + 1) * base, amplitude: amplitude(i + 1) })),
  );
}

// Worked out from the published formula, W. A. Sethares, JASA 94(3), 1993, in its later form.
describe('the published curve', () => {
  it.each([
    [125, 19.783],
    [220, 21.589],
    [261.626, 22.38],
    [440, 25.77],
    [500, 26.91],
    [1000, 36.413],
    [2000, 55.418],
  ])('at %d Hz two tones are roughest %d Hz apart, at 0.8988', (hz, apart) => {
    const at = (more: number) => toPairRoughness({ hz, amplitude: 1 }, { hz: hz + more, amplitude: 1 });
    expect(at(apart)).toBeCloseTo(0.898782, 5);
    expect(at(apart)).toBeGreaterThan(at(0.97 * apart));
    expect(at(apart)).toBeGreaterThan(at(1.03 * apart));
  });

  it.each([
    [0, 0.1808],
    [267, 2.2394],
    [315.5, 2.4096],
    [386.5, 2.1249],
    [498, 1.7698],
    [582.5, 2.0121],
    [702, 0.8305],
    [884.5, 1.2642],
    [969, 1.2757],
    [1200, 0.1579],
  ])('seven equal partials on 500 Hz, %d cents: %d', (cents, expected) => {
    expect(toRoughness(dyad(500, cents, 7, () => 1))).toBeCloseTo(expected, 3);
  });

  it.each([
    [0, 0.0582],
    [315.5, 1.0611],
    [386.5, 0.8866],
    [498, 0.6093],
    [702, 0.2569],
    [884.5, 0.4058],
    [1200, 0.0348],
  ])('six partials of 1/n on middle C, %d cents: %d', (cents, expected) => {
    expect(toRoughness(toPartials([6000, 6000 + cents]))).toBeCloseTo(expected, 3);
    expect(toRoughness(dyad(261.6256, cents, 6, (n) => 1 / n))).toBeCloseTo(expected, 3);
  });
});

it('is least where a third is pure, and from 12 equal the way there is down', () => {
  const at = (cents: number) => toRoughness(toPartials([6000, 6000 + cents]));
  expect(at(399)).toBeLessThan(at(400));
  expect(at(386.314)).toBeLessThan(at(400));
  expect(at(386.314)).toBeLessThan(at(372));
});
