import type { RawOptions } from '../settings/option-reader.js';
import { CHECK_HELP } from '../words/check-help.js';
import type { Define } from './definition.js';

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
