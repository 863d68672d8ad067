import type { RawOptions } from '../option-reader.js';
import { HELP } from '../words/help.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Makes sound of a MIDI file, every note at its exact pitch: a WAV file, stereo.')
    .argument('<input>', 'a MIDI file, retuned or not')
    .requiredOption('-o, --output <path>', 'where the sound goes')
    .option('--voice <name>', 'reed, bowed, sung or struck; default: reed')
    .option('--soundfont <file>', 'sound with a SoundFont (.sf2, .sf3, .dls) instead, programs and drums too')
    .option('--rate <hertz>', 'samples a second, 44100 or 48000; default: 48000')
    .option('--bits <format>', 'bits of a sample, 16 (dithered), 24 or float; default: 16')
    .option('--gain <decibels>', 'how much louder or softer, instead of as loud as it can be')
    .option('--piece <number>', 'which piece of a file that holds several, counted from 1; default: 1')
    .addHelpText('after', HELP.render)
    .action(async (input: string, options: RawOptions) => {
      const { runRender } = await import('../render-command.js');
      finish(await runRender(input, options, world));
    });
};
