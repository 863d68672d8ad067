import { expect, test } from 'vitest';
import { formatError, formatWarning } from '../../../src/cli/format/errors.js';
import { LeewayError } from '../../../src/io/leeway-error.js';

test('an error is a sentence, an advice and a code', () => {
  const error = new LeewayError({
    code: 'FILE_MISSING',
    message: 'There is no a.mid.',
    advice: 'Look again.',
  });
  expect(formatError(error, true)).toBe('leeway: There is no a.mid. Look again. [FILE_MISSING]');
});

test('an internal error says so, and shows its stack only on request', () => {
  const short = formatError(new TypeError('x is not a note'), false);
  expect(short).toMatch(
    /^leeway: This is a fault of Leeway's own: x is not a note\. .*LEEWAY_DEBUG=1.* \[BUG\]$/,
  );
  expect(formatError(new TypeError('x is not a note'), true)).toMatch(
    /\[BUG\]\nTypeError: x is not a note\n +at /,
  );
  expect(formatError('thrown text', false)).toContain('thrown text');
});

test('a warning names its place once', () => {
  const problem = { code: 'SMF_TRACK_COUNT', message: 'Something is missing.', advice: '' } as const;
  expect(formatWarning({ ...problem, offset: 9 }, 'a.mid')).toBe(
    'leeway: a.mid: warning: Something is missing (byte 9). [SMF_TRACK_COUNT]',
  );
  expect(formatWarning({ ...problem, message: 'Missing at byte 9.', offset: 9 }, 'a.mid')).toBe(
    'leeway: a.mid: warning: Missing at byte 9. [SMF_TRACK_COUNT]',
  );
});
