import { expect, test } from 'vitest';
import { LeewayError } from '../../src/io/leeway-error.js';

test('a LeewayError has the code, the sentence, the next step and the cause', () => {
  const cause = new Error('ENOENT');
  const error = new LeewayError(
    { code: 'FILE_MISSING', message: 'There is no file a.mid.', advice: 'Check the name.' },
    { cause, exitCode: 66 },
  );
  expect(error).toBeInstanceOf(Error);
  expect(error).toMatchObject({
    name: 'LeewayError',
    code: 'FILE_MISSING',
    message: 'There is no file a.mid.',
    advice: 'Check the name.',
    exitCode: 66,
    cause,
  });
});
