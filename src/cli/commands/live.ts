import { addOutletOptions, addTuningOptions } from '../choice-options.js';
import { addLiveOptions } from '../live-options.js';
import type { RawOptions } from '../option-reader.js';
import { addPageOptions } from '../page-options.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Plays live: from MIDI inputs, retuned to pure intervals, to MIDI outputs.')
    .argument('[settings]', 'a TOML file with settings; an option given here wins over it');
  addPageOptions(addOutletOptions(addTuningOptions(addLiveOptions(command))))
    .addHelpText('after', HELP.live)
    .action(async (path: string | undefined, options: RawOptions) => {
      const { runLive } = await import('../live-command.js');
      finish(await runLive(path, options, world));
    });
};
