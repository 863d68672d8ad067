import { addSettingsOption } from '../choice-options.js';
import { addPortOptions } from '../live-options.js';
import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command.description('Lists the MIDI ports there are, and says what is missing.');
  addSettingsOption(addPortOptions(command))
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.ports)
    .action(async (options: RawOptions) => {
      const { runPorts } = await import('../ports-command.js');
      finish(await runPorts(options, world));
    });
};
