import { STEP_KEYS } from '../../app/story/story.js';
import { ERROR_CODES, type ErrorCode } from '../../core/error-codes.js';
import { formatSettingsHelp } from '../settings/describe.js';
import { ERROR_ADVICE } from './error-advice.js';
import { wrap } from './wrap.js';

/** The topics of `leeway help` beside the commands. Each is a function that makes its lines. */
export const TOPICS = {
  settings: formatSettingsTopic,
  story: formatStoryTopic,
  errors: formatErrorsTopic,
} as const;

function formatSettingsTopic(): string[] {
  return [
    'A settings file is TOML. A key that is left out has its default value. An option on the command line',
    'wins over the file. The files in configs are examples; leeway check tells what is wrong in a file.',
    '',
    ...formatSettingsHelp(),
  ];
}

function formatStoryTopic(): string[] {
  return [
    'A story is TOML: a title, and steps that each say a sentence and may start music. leeway demo --story FILE',
    'tells it on the page; a story can be dropped onto the page too. configs/demo/story.toml is the built-in one.',
    '',
    'title: its name',
    '[[step]]: what is said and heard next; one table for each',
    ...Object.entries(STEP_KEYS).flatMap(([key, { does, takes }]) =>
      wrap(`  ${key}`.padEnd(12), `${does}: ${takes.replaceAll('`', '')}`),
    ),
    '',
    'A step needs a sentence. bars, tempo and passes are for a piece or a formula of the same step. Without one,',
    'what plays goes on. What a step leaves out of hear, show and only is as in the step before.',
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
