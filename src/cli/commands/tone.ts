import { addOutletOptions, addSettingsOption } from '../choice-options.js';
import { addOutputOptions } from '../live-options.js';
import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command.description(
    'Plays pure intervals through an outlet, to hear whether the bend range of the synth is right.',
  );
  addOutletOptions(addSettingsOption(addOutputOptions(command)))
    .addHelpText('after', HELP.tone)
    .action(async (options: RawOptions) => {
      const { runTone } = await import('../tone-command.js');
      finish(await runTone(options, world));
    });
};
