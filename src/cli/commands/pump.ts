import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Builds an exercise that drifts by commas: from a formula to a MIDI file for a choir.')
    .argument('[formula...]', 'chords or moves of the root, or the name of a classic pump')
    .option('-o, --output <file>', 'write it as a MIDI file')
    .option('--list', 'name the classic pumps, with their commas')
    .option('--passes <number>', 'how often it goes round, 1 to 1000; default: 4')
    .option('--seconds <number>', 'how long a chord lasts, 0.1 to 60; default: 2')
    .option('--tonic <note>', 'what I is, and where moves begin; default: C')
    .option('--voices <number>', '3 or 4; default: 4')
    .option('--restruck', 'strike common notes anew instead of tying them')
    .addHelpText('after', HELP.pump)
    .action(async (formula: string[], options: RawOptions) => {
      const { runPump } = await import('../pump-command.js');
      finish(await runPump(formula, options, world));
    });
};
