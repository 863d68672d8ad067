import { expect, it } from 'vitest';
import { doubled } from '../../../src/core/tuner/doubled.js';

it('has room for as many again, and keeps what was there', () => {
  expect(doubled(Int32Array.of(3, -1))).toEqual(Int32Array.of(3, -1, 0, 0));
  expect(doubled(Float64Array.of(0.5))).toEqual(Float64Array.of(0.5, 0));
});
