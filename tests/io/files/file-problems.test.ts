import { describe, expect, test } from 'vitest';
import { toFileError } from '../../../src/io/files/file-problems.js';
import { LeewayError } from '../../../src/io/leeway-error.js';

describe('the words for a file error of the system:', () => {
  test.each([
    ['ENOENT', 'read', 'FILE_MISSING'],
    ['ENOTDIR', 'list', 'FILE_MISSING'],
    ['ENOENT', 'write', 'FILE_NO_FOLDER'],
    ['EISDIR', 'write', 'FILE_IS_FOLDER'],
    ['EACCES', 'read', 'FILE_FORBIDDEN'],
    ['EPERM', 'write', 'FILE_FORBIDDEN'],
    ['EROFS', 'write', 'FILE_FORBIDDEN'],
    ['ENOSPC', 'write', 'FILE_NO_SPACE'],
    ['EDQUOT', 'write', 'FILE_NO_SPACE'],
    ['EIO', 'read', 'FILE_FAILED'],
  ] as const)('the error %s on trying to %s is %s', (systemCode, action, code) => {
    const cause = Object.assign(new Error(`${systemCode}: reason`), { code: systemCode });
    const error = toFileError(cause, action, 'songs/a.mid');
    expect(error).toMatchObject({ code, cause });
    expect(error.message).toContain(`Can't ${action} songs/a.mid: `);
    expect(error.advice).toMatch(/\.$/);
  });

  test('a file error without a code is passed on', () => {
    expect(toFileError(new Error('too many symbolic links'), 'write', 'a').message).toContain(
      'too many symbolic links',
    );
    expect(toFileError('odd', 'write', 'a')).toMatchObject({ code: 'FILE_FAILED' });
  });

  test('an error that is already in words stays as it is', () => {
    const error = new LeewayError({ code: 'USAGE', message: 'y', advice: 'z' });
    expect(toFileError(error, 'read', 'a')).toBe(error);
  });
});
