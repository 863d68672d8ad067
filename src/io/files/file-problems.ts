import type { Problem } from '../../core/outcome.js';
import { LeewayError } from '../leeway-error.js';

/** The refused action, as in the message. */
type Action = 'read' | 'write' | 'list';

/**
 * A refusal of the system as an error for people. A LeewayError passes unchanged.
 *
 * @param error what a call of node:fs threw
 * @example
 * const error = Object.assign(new Error(), { code: 'ENOENT' });
 * toFileError(error, 'read', 'a.mid').code  // 'FILE_MISSING'
 */
export function toFileError(error: unknown, action: Action, path: string): LeewayError {
  if (error instanceof LeewayError) return error;
  const systemCode = error instanceof Error && 'code' in error ? String(error.code) : '';
  const reason = error instanceof Error ? error.message : String(error);
  const { code, message, advice } = describe(systemCode, action, path, reason);
  return new LeewayError({ code, message, advice }, { cause: error });
}

function describe(systemCode: string, action: Action, path: string, reason: string): Problem {
  switch (systemCode) {
    case 'ENOENT':
    case 'ENOTDIR':
      return action === 'write'
        ? {
            code: 'FILE_NO_FOLDER',
            message: `Can't write ${path}: there is no such folder.`,
            advice: 'Make the folder first, or choose another one.',
          }
        : {
            code: 'FILE_MISSING',
            message: `Can't ${action} ${path}: there is no such file or folder.`,
            advice: 'Check the spelling of the path, and the folder the command runs in.',
          };
    case 'EISDIR':
      return isFolder(action, path);
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return {
        code: 'FILE_FORBIDDEN',
        message: `Can't ${action} ${path}: permission denied.`,
        advice: 'Change the permissions of the file or folder, or choose another one.',
      };
    case 'ENOSPC':
    case 'EDQUOT':
      return {
        code: 'FILE_NO_SPACE',
        message: `Can't write ${path}: no space left.`,
        advice: 'Free some space, or write to another disk. What stood there before is unchanged.',
      };
    default:
      return {
        code: 'FILE_FAILED',
        message: `Can't ${action} ${path}: ${reason}.`,
        advice: 'Check the disk and the path, then try again.',
      };
  }
}

function isFolder(action: Action, path: string): Problem {
  return {
    code: 'FILE_IS_FOLDER',
    message: `Can't ${action} ${path}: it is a folder.`,
    advice: 'Name a file inside it.',
  };
}

/** A folder where a file was expected. @example folderError('write', 'out').code  // 'FILE_IS_FOLDER' */
export function folderError(action: Action, path: string): LeewayError {
  return new LeewayError(isFolder(action, path));
}

/** More bytes than the limit. @example tooBigError('big.mid', 2 ** 20).code  // 'FILE_TOO_BIG' */
export function tooBigError(path: string, limitBytes: number): LeewayError {
  return new LeewayError({
    code: 'FILE_TOO_BIG',
    message: `Can't read ${path}: it is larger than ${limitBytes} bytes (${Number((limitBytes / 2 ** 20).toPrecision(3))} MiB).`,
    advice: 'No MIDI file is that big. Check that it is the file you meant.',
  });
}

/** A file where a folder was expected. @example notFolderError('a.mid').code  // 'FILE_NOT_FOLDER' */
export function notFolderError(path: string): LeewayError {
  return new LeewayError({
    code: 'FILE_NOT_FOLDER',
    message: `Can't list ${path}: it is not a folder.`,
    advice: 'Name the folder that holds the MIDI files.',
  });
}
