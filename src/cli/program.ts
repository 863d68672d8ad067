import { Command } from 'commander';
import { FIRST_PIECE } from '../app/live/built-in-pieces.js';
import { runCheck } from './check-command.js';
import { addOutletOptions, addPlanOptions, addSettingsOption, addTuningOptions } from './choice-options.js';
import { runCompare } from './compare-command.js';
import type { ExitCode } from './exit-codes.js';
import { runExplain } from './explain-command.js';
import { runLive } from './live-command.js';
import { addLiveOptions, addOutputOptions, addPortOptions } from './live-options.js';
import type { RawOptions } from './option-reader.js';
import { addPageOptions } from './page-options.js';
import { runPorts } from './ports-command.js';
import { runPump } from './pump-command.js';
import { runRender } from './render-command.js';
import { runRetune } from './retune-command.js';
import { readVersion } from './root.js';
import { runTone } from './tone-command.js';
import { HELP } from './words/help.js';
import { LINE_WIDTH } from './words/wrap.js';
import type { World } from './world.js';

/**
 * The command line.
 * @param finish told the exit code of the command that ran
 */
export function createProgram(world: World, finish: (code: ExitCode) => void): Command {
  const program = new Command('leeway')
    .description('Adaptive just intonation for MIDI: pure chords, with the drift in plain sight.')
    .version(readVersion(), '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .exitOverride()
    .configureOutput({
      writeOut: (text) => void world.stdout.write(text),
      writeErr: (text) => void world.stderr.write(text),
      outputError: () => {}, // `run` words all errors
      getOutHelpWidth: () => Math.min(LINE_WIDTH, world.stdout.columns ?? LINE_WIDTH),
    });

  const retune = program
    .command('retune')
    .summary('retune MIDI files to pure intervals')
    .description('Retunes MIDI files to pure intervals. Everything else in them stays where it was.')
    .argument('<input...>', 'MIDI files, or folders of them')
    .requiredOption('-o, --output <path>', 'where the retuned file goes; a folder for several inputs');
  addOutletOptions(addSettingsOption(addPlanOptions(addTuningOptions(retune))))
    .option('--report <file>', 'also write what was done, as JSON')
    .option(
      '--jobs <number>',
      'how many files are worked on side by side, 1 to 256; default: one a processor',
    )
    .option('--resume', 'leave out files whose output is there already and newer than they are')
    .addHelpText('after', HELP.retune)
    .action(async (inputs: string[], options: RawOptions) => finish(await runRetune(inputs, options, world)));

  const explain = program
    .command('explain')
    .summary('say chord by chord why each note was tuned as it was')
    .description('Says chord by chord why each note is tuned as it is.')
    .argument('<input>', 'a MIDI file');
  addSettingsOption(addPlanOptions(addTuningOptions(explain)))
    .option('--from <bar>', 'the first bar to tell of, counted from 1')
    .option('--to <bar>', 'the last bar to tell of')
    .option('--sheet <file>', 'write a lecture sheet instead: .html to print, .svg for a slide')
    .option('--paper <size>', 'what the sheet is printed on: a4 or letter; default: a4')
    .option('--upright', 'the paper stands upright instead of lying')
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.explain)
    .action(async (input: string, options: RawOptions) => finish(await runExplain(input, options, world)));

  program
    .command('render')
    .summary('make sound of a MIDI file')
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
    .action(async (input: string, options: RawOptions) => finish(await runRender(input, options, world)));

  const compare = program
    .command('compare')
    .summary('tune a piece in every way, side by side: page, picture, tables, files and sound')
    .description(
      'Tunes a piece under every strategy, planned and played live, and in 12 equal, and shows them side by side.',
    )
    .argument('<input>', 'a MIDI file')
    .requiredOption('-o, --output <folder>', 'the folder everything goes to');
  addOutletOptions(addSettingsOption(addPlanOptions(addTuningOptions(compare))))
    .option('--no-sound', 'make no sound files')
    .option('--voice <name>', 'what the sound files sound like: reed, bowed, sung or struck; default: reed')
    .option('--soundfont <file>', 'let the sound files sound with a SoundFont instead')
    .option('--bits <format>', 'bits of a sample, 16 (dithered), 24 or float; default: 16')
    .option('--piece <number>', 'which piece of a file that holds several, counted from 1; default: 1')
    .addHelpText('after', HELP.compare)
    .action(async (input: string, options: RawOptions) => finish(await runCompare(input, options, world)));

  program
    .command('pump')
    .summary('build a comma pump, and say by how much it drifts and why')
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
    .action(async (formula: string[], options: RawOptions) => finish(await runPump(formula, options, world)));

  const live = program
    .command('live')
    .summary('play live, retuned, from MIDI ports to MIDI ports')
    .description('Plays live: from MIDI inputs, retuned to pure intervals, to MIDI outputs.')
    .argument('[settings]', 'a TOML file with settings; an option given here wins over it');
  addPageOptions(addOutletOptions(addTuningOptions(addLiveOptions(live))))
    .addHelpText('after', HELP.live)
    .action(async (path: string | undefined, options: RawOptions) =>
      finish(await runLive(path, options, world)),
    );

  const demo = program
    .command('demo')
    .summary('hear and see a built-in piece drift, in the browser')
    .description('Plays a built-in piece round and round, on the page and to MIDI outputs.')
    .argument('[piece]', 'which piece', FIRST_PIECE);
  addPageOptions(addOutletOptions(addTuningOptions(addLiveOptions(demo))), true)
    .addHelpText('after', HELP.demo)
    .action(async (piece: string, options: RawOptions) =>
      finish(await runLive(undefined, { ...options, page: true }, world, piece)),
    );

  const ports = program
    .command('ports')
    .summary('list MIDI ports, and what is missing for MIDI')
    .description('Lists the MIDI ports there are, and says what is missing.');
  addSettingsOption(addPortOptions(ports))
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.ports)
    .action(async (options: RawOptions) => finish(await runPorts(options, world)));

  const tone = program
    .command('tone')
    .summary('hear whether a synth bends as far as it is told to')
    .description(
      'Plays pure intervals through an outlet, to hear whether the bend range of the synth is right.',
    );
  addOutletOptions(addSettingsOption(addOutputOptions(tone)))
    .addHelpText('after', HELP.tone)
    .action(async (options: RawOptions) => finish(await runTone(options, world)));

  program
    .command('check')
    .summary('check a settings file')
    .description('Checks a settings file.')
    .argument('<settings>', 'a TOML file with settings')
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.check)
    .action(async (path: string, options: RawOptions) => finish(await runCheck(path, options, world)));
  return program;
}
