import { addOutletOptions, addPlanOptions, addSettingsOption, addTuningOptions } from '../choice-options.js';
import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Retunes MIDI files to pure intervals. Everything else in them stays where it was.')
    .argument('<input...>', 'MIDI files, or folders of them')
    .requiredOption('-o, --output <path>', 'where the retuned file goes; a folder for several inputs');
  addOutletOptions(addSettingsOption(addPlanOptions(addTuningOptions(command))))
    .option('--report <file>', 'also write what was done, as JSON')
    .option(
      '--jobs <number>',
      'how many files are worked on side by side, 1 to 256; default: one a processor',
    )
    .option('--resume', 'leave out files whose output is there already and newer than they are')
    .addHelpText('after', HELP.retune)
    .action(async (inputs: string[], options: RawOptions) => {
      const { runRetune } = await import('../retune-command.js');
      finish(await runRetune(inputs, options, world));
    });
};
