import { HELP } from '../format/help.js';
import { addRoles, addSettings, addSettingsFile, toOption } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Says chord by chord why each note is tuned as it is.')
    .argument('<input>', 'a MIDI file');
  addRoles(addSettingsFile(addSettings(command, 'tuning')))
    .addOption(toOption('from'))
    .addOption(toOption('to'))
    .option('--sheet <file>', 'write a lecture sheet instead: .html to print, .svg for a slide')
    .addOption(toOption('paper'))
    .option('--portrait', 'print in portrait instead of landscape')
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.explain)
    .action(async (input: string, options: RawOptions) => {
      const { runExplain } = await import('../explain-command.js');
      finish(await runExplain(input, options, world));
    });
};
