import { expect, test } from 'vitest';
import { toLeewayError } from '../../src/app/problem-error.js';

const advice = 'Do this.';

test.each([
  [
    'a bare clause',
    { code: 'TONIC_NAME', message: '"H" is no tonic', advice },
    '--tonic',
    '--tonic: "H" is no tonic.',
  ],
  ['a sentence', { code: 'TONIC_NAME', message: 'It is bad.', advice }, undefined, 'It is bad.'],
  [
    'an offset',
    { code: 'TONIC_NAME', message: 'It is bad.', advice, offset: 7 },
    'a.mid',
    'a.mid: It is bad (byte 7).',
  ],
  [
    'an offset told',
    { code: 'TONIC_NAME', message: 'Bad at byte 7.', advice, offset: 7 },
    'a.mid',
    'a.mid: Bad at byte 7.',
  ],
] as const)('a problem becomes an error that names its place: %s', (_, problem, where, message) => {
  const error = toLeewayError(problem, where);
  expect([error.code, error.message, error.advice]).toEqual(['TONIC_NAME', message, advice]);
});
