import { addOutletOptions, addPlanOptions, addSettingsOption, addTuningOptions } from '../choice-options.js';
import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description(
      'Tunes a piece under every strategy, planned and played live, and in 12 equal, and shows them side by side.',
    )
    .argument('<input>', 'a MIDI file')
    .requiredOption('-o, --output <folder>', 'the folder everything goes to');
  addOutletOptions(addSettingsOption(addPlanOptions(addTuningOptions(command))))
    .option('--no-sound', 'make no sound files')
    .option('--voice <name>', 'what the sound files sound like: reed, bowed, sung or struck; default: reed')
    .option('--soundfont <file>', 'let the sound files sound with a SoundFont instead')
    .option('--bits <format>', 'bits of a sample, 16 (dithered), 24 or float; default: 16')
    .option('--piece <number>', 'which piece of a file that holds several, counted from 1; default: 1')
    .addHelpText('after', HELP.compare)
    .action(async (input: string, options: RawOptions) => {
      const { runCompare } = await import('../compare-command.js');
      finish(await runCompare(input, options, world));
    });
};
