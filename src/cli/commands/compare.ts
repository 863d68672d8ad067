import { HELP } from '../format/help.js';
import { addRoles, addSettings, addSettingsFile, toOption } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description(
      'Tunes a piece under every strategy, planned and played live, and in 12 equal, and shows them side by side.',
    )
    .argument('<input>', 'a MIDI file')
    .requiredOption('-o, --output <folder>', 'the folder everything goes to');
  addRoles(addSettings(addSettingsFile(addSettings(command, 'tuning')), 'outlet'))
    .option('--no-sound', 'make no sound files')
    .addOption(toOption('voice'))
    .option('--soundfont <file>', 'let the sound files sound with a SoundFont instead')
    .addOption(toOption('bits'))
    .addOption(toOption('piece'))
    .addHelpText('after', HELP.compare)
    .action(async (input: string, options: RawOptions) => {
      const { runCompare } = await import('../compare-command.js');
      finish(await runCompare(input, options, world));
    });
};
