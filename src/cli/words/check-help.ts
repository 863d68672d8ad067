import { formatSettingsHelp } from '../settings/describe.js';

/** What stands below the options in the help of `check`: every key of a settings file, examples, exit codes. */
export const CHECK_HELP = `
Tells every mistake with its line and column, or else what the settings would do. retune and
explain take the same file with --settings, and pass over what concerns only live playing.

A settings file is TOML, and what it leaves out is at its default value:

${formatSettingsHelp().join('\n')}

Examples:
  leeway check stage.toml
  leeway check stage.toml --json

Exit codes: 0 no mistakes, 2 mistakes, or no such file.`;
