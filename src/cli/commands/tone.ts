import { HELP } from '../format/help.js';
import { addPorts, addSettings, addSettingsFile } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command.description(
    'Plays pure intervals through an outlet, to hear whether the bend range of the synth is right.',
  );
  addSettings(addSettingsFile(addPorts(command, 'outlets')), 'outlet')
    .addHelpText('after', HELP.tone)
    .action(async (options: RawOptions) => {
      const { runTone } = await import('../tone-command.js');
      finish(await runTone(options, world));
    });
};
