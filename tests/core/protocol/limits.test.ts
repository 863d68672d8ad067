import { expect, test } from 'vitest';
import { LIMITS, MAX_FILE_PARTS } from '../../../src/core/protocol/index.js';

test('the largest file fits into its parts, each a whole number of base64 groups', () => {
  expect(LIMITS.filePartBytes % 3).toBe(0);
  expect(MAX_FILE_PARTS * LIMITS.filePartBytes).toBeGreaterThanOrEqual(LIMITS.fileBytes);
  expect((MAX_FILE_PARTS - 1) * LIMITS.filePartBytes).toBeLessThan(LIMITS.fileBytes);
});
