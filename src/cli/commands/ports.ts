import { HELP } from '../format/help.js';
import { addPorts, addSettingsFile } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command.description('Lists the MIDI ports there are, and says what is missing.');
  addSettingsFile(addPorts(command))
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.ports)
    .action(async (options: RawOptions) => {
      const { runPorts } = await import('../ports-command.js');
      finish(await runPorts(options, world));
    });
};
