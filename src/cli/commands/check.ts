import { formatSettingsHelp } from '../settings/describe.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

/** The text below the options in the help of `check`: every key of a settings file, examples, exit codes. */
export const CHECK_HELP = `
Tells every mistake with its line and column, or else what the settings would do. retune and
explain take the same file with --settings, and pass over what concerns only live playing.

A settings file is TOML, and what it leaves out is at its default value:

${formatSettingsHelp().join('\n')}

Examples:
  leeway check stage.toml
  leeway check stage.toml --json

Exit codes: 0 no mistakes, 2 mistakes, or no such file.`;

export const define: Define = (command, world, finish) => {
  command
    .description('Checks a settings file.')
    .argument('<settings>', 'a TOML file with settings')
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', CHECK_HELP)
    .action(async (path: string, options: RawOptions) => {
      const { runCheck } = await import('../check-command.js');
      finish(await runCheck(path, options, world));
    });
};
