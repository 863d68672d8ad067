import { HELP } from '../format/help.js';
import { toOption } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Builds an exercise that drifts by commas: from a formula to a MIDI file for a choir.')
    .argument('[formula...]', 'chords or moves of the root, or the name of a classic pump')
    .option('-o, --output <file>', 'write it as a MIDI file')
    .option('--list', 'name the classic pumps, with their commas')
    .addOption(toOption('passes'))
    .addOption(toOption('seconds'))
    .addOption(toOption('tonic'))
    .addOption(toOption('voices'))
    .option('--restruck', 'strike common notes again instead of tying them')
    .addHelpText('after', HELP.pump)
    .action(async (formula: string[], options: RawOptions) => {
      const { runPump } = await import('../pump-command.js');
      finish(await runPump(formula, options, world));
    });
};
