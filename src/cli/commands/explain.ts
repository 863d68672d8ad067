import { addPlanOptions, addSettingsOption, addTuningOptions } from '../choice-options.js';
import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Says chord by chord why each note is tuned as it is.')
    .argument('<input>', 'a MIDI file');
  addSettingsOption(addPlanOptions(addTuningOptions(command)))
    .option('--from <bar>', 'the first bar to tell of, counted from 1')
    .option('--to <bar>', 'the last bar to tell of')
    .option('--sheet <file>', 'write a lecture sheet instead: .html to print, .svg for a slide')
    .option('--paper <size>', 'what the sheet is printed on: a4 or letter; default: a4')
    .option('--upright', 'the paper stands upright instead of lying')
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.explain)
    .action(async (input: string, options: RawOptions) => {
      const { runExplain } = await import('../explain-command.js');
      finish(await runExplain(input, options, world));
    });
};
