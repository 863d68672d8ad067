import { Command } from 'commander';
import { FIRST_PIECE } from '../app/live/built-in-pieces.js';
import { runCheck } from './check-command.js';
import { runCompare } from './compare-command.js';
import type { ExitCode } from './exit-codes.js';
import { runExplain } from './explain-command.js';
import { runLive } from './live-command.js';
import { runPorts } from './ports-command.js';
import { runPump } from './pump-command.js';
import { runRender } from './render-command.js';
import { runRetune } from './retune-command.js';
import { readVersion } from './root.js';
import {
  addPageOptions,
  addPorts,
  addSettings,
  addSettingsFile,
  type RawOptions,
  toOption,
} from './settings/index.js';
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
  addSettings(addSettingsFile(addSettings(retune, 'tuning')), 'outlet')
    .option('--report <file>', 'also write what was done, as JSON')
    .addOption(toOption('jobs'))
    .option('--resume', 'leave out files whose output is there already and newer than they are')
    .addHelpText('after', HELP.retune)
    .action(async (inputs: string[], options: RawOptions) => finish(await runRetune(inputs, options, world)));

  const explain = program
    .command('explain')
    .summary('say chord by chord why each note was tuned as it was')
    .description('Says chord by chord why each note is tuned as it is.')
    .argument('<input>', 'a MIDI file');
  addSettingsFile(addSettings(explain, 'tuning'))
    .addOption(toOption('from'))
    .addOption(toOption('to'))
    .option('--sheet <file>', 'write a lecture sheet instead: .html to print, .svg for a slide')
    .addOption(toOption('paper'))
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
    .addOption(toOption('voice'))
    .option('--soundfont <file>', 'sound with a SoundFont (.sf2, .sf3, .dls) instead, programs and drums too')
    .addOption(toOption('sampleRate'))
    .addOption(toOption('bits'))
    .addOption(toOption('gain'))
    .addOption(toOption('piece'))
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
  addSettings(addSettingsFile(addSettings(compare, 'tuning')), 'outlet')
    .option('--no-sound', 'make no sound files')
    .addOption(toOption('voice'))
    .option('--soundfont <file>', 'let the sound files sound with a SoundFont instead')
    .addOption(toOption('bits'))
    .addOption(toOption('piece'))
    .addHelpText('after', HELP.compare)
    .action(async (input: string, options: RawOptions) => finish(await runCompare(input, options, world)));

  program
    .command('pump')
    .summary('build a comma pump, and say by how much it drifts and why')
    .description('Builds an exercise that drifts by commas: from a formula to a MIDI file for a choir.')
    .argument('[formula...]', 'chords or moves of the root, or the name of a classic pump')
    .option('-o, --output <file>', 'write it as a MIDI file')
    .option('--list', 'name the classic pumps, with their commas')
    .addOption(toOption('passes'))
    .addOption(toOption('seconds'))
    .addOption(toOption('tonic'))
    .addOption(toOption('voices'))
    .option('--restruck', 'strike common notes anew instead of tying them')
    .addHelpText('after', HELP.pump)
    .action(async (formula: string[], options: RawOptions) => finish(await runPump(formula, options, world)));

  const live = program
    .command('live')
    .summary('play live, retuned, from MIDI ports to MIDI ports')
    .description('Plays live: from MIDI inputs, retuned to pure intervals, to MIDI outputs.')
    .argument('[settings]', 'a TOML file with settings; an option given here wins over it');
  addPageOptions(addSettings(addSettings(addSettings(addPorts(live), 'live'), 'tuning'), 'outlet'))
    .addHelpText('after', HELP.live)
    .action(async (path: string | undefined, options: RawOptions) =>
      finish(await runLive(path, options, world)),
    );

  const demo = program
    .command('demo')
    .summary('hear and see a built-in piece drift, in the browser')
    .description('Plays a built-in piece round and round, on the page and to MIDI outputs.')
    .argument('[piece]', 'which piece', FIRST_PIECE);
  addPageOptions(addSettings(addSettings(addSettings(addPorts(demo), 'live'), 'tuning'), 'outlet'), true)
    .addHelpText('after', HELP.demo)
    .action(async (piece: string, options: RawOptions) =>
      finish(await runLive(undefined, { ...options, page: true }, world, piece)),
    );

  const ports = program
    .command('ports')
    .summary('list MIDI ports, and what is missing for MIDI')
    .description('Lists the MIDI ports there are, and says what is missing.');
  addSettingsFile(addPorts(ports))
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', HELP.ports)
    .action(async (options: RawOptions) => finish(await runPorts(options, world)));

  const tone = program
    .command('tone')
    .summary('hear whether a synth bends as far as it is told to')
    .description(
      'Plays pure intervals through an outlet, to hear whether the bend range of the synth is right.',
    );
  addSettings(addSettingsFile(addPorts(tone, 'outlets')), 'outlet')
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
