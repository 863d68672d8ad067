import { FIRST_PIECE } from '../../app/live/built-in-pieces.js';
import { HELP } from '../format/help.js';
import { addPageOptions, addPorts, addSettings } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Plays a built-in piece round and round, on the page and to MIDI outputs.')
    .argument('[piece]', 'which piece', FIRST_PIECE);
  addPageOptions(addSettings(addSettings(addSettings(addPorts(command), 'live'), 'tuning'), 'outlet'), true)
    .addHelpText('after', HELP.demo)
    .action(async (piece: string, options: RawOptions) => {
      const { runLive } = await import('../live-command.js');
      finish(await runLive(undefined, { ...options, page: true }, world, piece));
    });
};
