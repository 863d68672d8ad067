import { FIRST_PIECE } from '../../app/live/built-in-pieces.js';
import { addOutletOptions, addTuningOptions } from '../choice-options.js';
import { addLiveOptions } from '../live-options.js';
import type { RawOptions } from '../option-reader.js';
import { addPageOptions } from '../page-options.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Plays a built-in piece round and round, on the page and to MIDI outputs.')
    .argument('[piece]', 'which piece', FIRST_PIECE);
  addPageOptions(addOutletOptions(addTuningOptions(addLiveOptions(command))), true)
    .addHelpText('after', HELP.demo)
    .action(async (piece: string, options: RawOptions) => {
      const { runLive } = await import('../live-command.js');
      finish(await runLive(undefined, { ...options, page: true }, world, piece));
    });
};
