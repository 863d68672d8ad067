import { expect, test } from 'vitest';
import { RANGES } from '../../../src/cli/ranges.js';
import { CONTROL_RANGES, LIMITS, MAX_FILE_PARTS } from '../../../src/core/protocol/index.js';

test.each(['leeway', 'rate', 'recall', 'strike-window'] as const)(
  '%s has the bounds it has on the command line',
  (name) => {
    const { least, most } = RANGES[name];
    expect(CONTROL_RANGES[name]).toEqual({ least, most });
  },
);

test('the largest file fits into its parts, each a whole number of base64 groups', () => {
  expect(LIMITS.filePartBytes % 3).toBe(0);
  expect(MAX_FILE_PARTS * LIMITS.filePartBytes).toBeGreaterThanOrEqual(LIMITS.fileBytes);
  expect((MAX_FILE_PARTS - 1) * LIMITS.filePartBytes).toBeLessThan(LIMITS.fileBytes);
});
