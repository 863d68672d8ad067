import { describe, expect, test } from 'vitest';
import { ratio, toProportion, UNISON } from '../../../src/core/theory/index.js';

describe('toProportion', () => {
  test.each([
    ['1/1 5/4 3/2', '4:5:6'],
    ['1/1 2/1', '1:2'],
    ['5/4 3/2 2/1', '5:6:8'],
    ['5/6 1/1 5/4', '10:12:15'],
    ['1/1 5/4 3/2 7/4', '4:5:6:7'],
  ])('%s is %s', (ratios, proportion) => {
    expect(toProportion(ratios.split(' ').map(ratio))).toBe(proportion);
  });

  test('a single note has none, and neither has one beyond three figures', () => {
    expect(toProportion([UNISON])).toBeUndefined();
    expect(toProportion([UNISON, ratio('2187/2048')])).toBeUndefined();
  });
});
