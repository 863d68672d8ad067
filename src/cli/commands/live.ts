import { HELP } from '../format/help.js';
import { addPageOptions, addPorts, addSettings } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Plays live: from MIDI inputs, retuned to pure intervals, to MIDI outputs.')
    .argument('[settings]', 'a TOML file with settings; an option given here wins over it');
  addPageOptions(addSettings(addSettings(addSettings(addPorts(command), 'live'), 'tuning'), 'outlet'))
    .addHelpText('after', HELP.live)
    .action(async (path: string | undefined, options: RawOptions) => {
      const { runLive } = await import('../live-command.js');
      finish(await runLive(path, options, world));
    });
};
