import { ERROR_CODES, type ErrorCode } from '../../core/error-codes.js';
import { formatSettingsHelp } from '../settings/describe.js';
import { ERROR_ADVICE } from './error-advice.js';
import { wrap } from './wrap.js';

/** The topics of `leeway help` beside the commands. Each is a function that makes its lines. */
export const TOPICS = { settings: formatSettingsTopic, errors: formatErrorsTopic } as const;

function formatSettingsTopic(): string[] {
  return [
    'A settings file is TOML. A key that is left out has its default value. An option on the command line',
    'wins over the file. The files in configs are examples; leeway check tells what is wrong in a file.',
    '',
    ...formatSettingsHelp(),
  ];
}

function formatErrorsTopic(): string[] {
  const codes = Object.keys(ERROR_CODES) as ErrorCode[];
  return [
    'Every error ends with a code in brackets. Codes are stable: scripts may rely on them.',
    '',
    ...codes.flatMap((code) => [
      code,
      ...wrap('  means  ', ERROR_CODES[code].replaceAll('`', '')),
      ...wrap('  do     ', ERROR_ADVICE[code]),
    ]),
  ];
}
