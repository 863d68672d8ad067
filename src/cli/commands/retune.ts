import { HELP } from '../format/help.js';
import { addRoles, addSettings, addSettingsFile, toOption } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Retunes MIDI files to pure intervals. Everything else in them stays where it was.')
    .argument('<input...>', 'MIDI files, or folders of them')
    .requiredOption('-o, --output <path>', 'where the retuned file goes; a folder for several inputs');
  addRoles(addSettings(addSettingsFile(addSettings(command, 'tuning')), 'outlet'))
    .option('--report <file>', 'also write what was done, as JSON')
    .addOption(toOption('jobs'))
    .option('--resume', 'leave out files whose output is there already and newer than they are')
    .addHelpText('after', HELP.retune)
    .action(async (inputs: string[], options: RawOptions) => {
      const { runRetune } = await import('../retune-command.js');
      finish(await runRetune(inputs, options, world));
    });
};
