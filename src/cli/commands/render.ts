import { HELP } from '../format/help.js';
import { toOption } from '../settings/add-options.js';
import type { RawOptions } from '../settings/option-reader.js';
import type { Define } from './definition.js';

export const define: Define = (command, world, finish) => {
  command
    .description('Makes sound of a MIDI file, every note at its exact pitch: a WAV file, stereo.')
    .argument('<input>', 'a MIDI file, retuned or not')
    .requiredOption('-o, --output <path>', 'where the sound goes')
    .addOption(toOption('voice'))
    .option('--soundfont <file>', 'sound with a SoundFont (.sf2, .sf3, .dls) instead, programs and drums too')
    .addOption(toOption('sampleRate'))
    .addOption(toOption('bits'))
    .addOption(toOption('gain'))
    .addOption(toOption('piece'))
    .addHelpText('after', HELP.render)
    .action(async (input: string, options: RawOptions) => {
      const { runRender } = await import('../render-command.js');
      finish(await runRender(input, options, world));
    });
};
