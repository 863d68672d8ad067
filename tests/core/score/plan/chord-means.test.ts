import { describe, expect, it } from 'vitest';
import { toPulledMeans } from '../../../../src/core/score/plan/chord-means.js';

const BAND = { leewayCents: 2, rateCentsPerSecond: 3 };

describe('means that are pulled home', () => {
  it('begin at home, and come nearer by the rate, until they are within the leeway', () => {
    const means = toPulledMeans(Float64Array.of(5, -16.5, -16.5, -16.5), Float64Array.of(1, 1, 60, 1), BAND);
    expect([...means].map((cents) => Number(cents.toFixed(6)))).toEqual([0, -21.5, -18.5, -2]);
  });

  it('are left behind by music that drifts faster than that', () => {
    const drifting = Float64Array.from({ length: 11 }, (_, at) => -4 * at);
    const means = toPulledMeans(drifting, new Float64Array(11).fill(1), BAND);
    // Four cents farther each second, three of them drawn back, once it is outside.
    expect(means[10] - means[9]).toBeCloseTo(-1, 9);
  });

  it('of nothing are nothing', () => {
    expect(toPulledMeans(new Float64Array(0), new Float64Array(0), BAND)).toHaveLength(0);
  });
});
