import { Command } from 'commander';
import { FIRST_PIECE } from '../app/live/built-in-pieces.js';
import { runCheck } from './check-command.js';
import {
  addOutletOptions,
  addPlanOptions,
  addSettingsOption,
  addTuningOptions,
  type RawOptions,
} from './choice-options.js';
import { runCompare } from './compare-command.js';
import type { ExitCode } from './exit-codes.js';
import { runExplain } from './explain-command.js';
import { runLive } from './live-command.js';
import { addLiveOptions, addOutputOptions, addPortOptions } from './live-options.js';
import { addPageOptions } from './page-options.js';
import { runPorts } from './ports-command.js';
import { runPump } from './pump-command.js';
import { runRender } from './render-command.js';
import { runRetune } from './retune-command.js';
import { readVersion } from './root.js';
import { runTone } from './tone-command.js';
import { formatSettingsHelp } from './words/settings-help.js';
import { LINE_WIDTH } from './words/wrap.js';
import type { World } from './world.js';

const RETUNE_EXAMPLES = `
Each note gets its pure ratio to what sounds with it. 100 cents are a semitone; the syntonic comma,
by which pure chords tend to drift, is 21.5 cents. Several inputs, or a folder, go into the folder
OUTPUT with their tree kept. A single - is standard input or output.

Examples:
  leeway retune choir.mid -o choir-pure.mid
  leeway retune songs/ -o pure-songs/ --strategy pull --rate 5
  leeway retune blues.mid -o blues-7.mid --limit 7 --outlet multichannel --bend-range 2
  leeway retune choir.mid -o choir-best.mid --plan whole --end home
  leeway retune mass.mid -o mass-pure.mid --home meantone --tonic D --a4 415 --report mass.json

Exit codes: 0 done, 1 some of several files failed, 2 a mistake or a bad file, 70 our own fault.`;

const EXPLAIN_EXAMPLES = `
Says for every chord where each note stands, which note and interval decided it, and how far the
pitch has drifted.

A sheet shows the same drawn: the chords on staves, an arrow with its ratio from the note that
decided each one, the walk on the lattice, and the comma found at the end, as a product of moves.
A page (.html) is printed on A4 and may be long; a picture (.svg) holds eight lines of chords.
With --json the JSON is printed besides.

Examples:
  leeway explain choir.mid
  leeway explain choir.mid --from 9 --to 12 --strategy free
  leeway explain choir.mid --from 1 --to 4 --strategy free --sheet choir.html
  leeway explain choir.mid --json > choir.json`;

const RENDER_EXAMPLES = `
Any MIDI file: one that retune has made sounds as it was tuned, exactly; a plain one in 12 equal. All parts
have the one voice, so that nothing differs but the tuning; each keeps its volume, its place and its pedals.
The voices: reed (a reed organ), bowed, sung, struck. Their many strong harmonics make beating plain.

The loudest moment is brought to 1 dB below full scale. To compare versions of a piece at the same
loudness, give all of them the same --gain. A folder as OUTPUT takes the file under the name of the piece;
a single - is standard input or output.

Examples:
  leeway render choir-pure.mid -o choir-pure.wav
  leeway render choir.mid -o choir.wav --voice sung --rate 44100 --bits 24
  leeway render song.mid -o song.wav --soundfont orchestra.sf2
  leeway retune choir.mid -o - --strategy free | leeway render - -o choir-free.wav
  leeway render choir.mid -o - --bits float --gain 6 | flac - -o choir.flac

Exit codes: 0 done, 2 a mistake or a bad file, 70 our own fault, 130 stopped; then nothing was written.`;

const COMPARE_EXAMPLES = `
Into the folder go a page that plays all versions in step (open it in a browser), its picture as SVG and PNG,
the figures as CSV and JSON, and every version as a MIDI file and as sound. All are equally loud: only the
tuning differs. A strategy has its stock leeway unless it is the one chosen here.

Sound can hurt: begin with the volume low, above all with headphones.

Examples:
  leeway compare choir.mid -o choir-compared/
  leeway compare blues.mid -o blues-compared/ --limit 7 --voice sung
  leeway compare mass.mid -o mass-compared/ --home meantone --tonic D --a4 415 --no-sound

Exit codes: 0 done, 2 a mistake or a bad file, 70 our own fault, 130 stopped.`;

const PUMP_EXAMPLES = `
A comma pump is a row of chords that comes round to its first chord. Each chord pure and each common note
held, it comes round somewhere else: by how much, and why, is worked out exactly. Write degrees (capitals
major, small letters minor, a 7 for 4:5:6:7), names of chords, or the moves of the root as ratios or by name
(P5 P4 M3 m3 M6 m6, with - for down; put -- before a formula that begins with a minus). A move may stand
between two chords that have no note in common.

The file has a track for each voice of a choir, in its range, moving as little as it can. retune it with
--strategy free to hear it drift, with the others to hear what that costs.

Examples:
  leeway pump --list
  leeway pump "I vi ii V" -o pump.mid --passes 5
  leeway pump turnaround -o pump.mid --tonic D --seconds 1.5
  leeway pump C Am Dm G
  leeway pump "5/4 5/4 5/4" -o thirds.mid --voices 3 --restruck
  leeway pump "IV 9/8 V I" -o cadence.mid

Exit codes: 0 done, 2 a mistake.`;

const LIVE_EXAMPLES = `
Without ports it makes two of its own, both named Leeway: play into one, listen at the other. Ports that
aren't there yet are opened when they come, and again after a cable was pulled.

Start low: turn the volume down before the first note, above all with headphones.

While it runs:
  Ctrl+C or SIGTERM   stop; every note is let go first
  SIGHUP              read the settings again (so does a change of the file)
  SIGUSR1             silence everything, and listen again to an input whose fuse is open
  SIGUSR2             print the figures: time from key to synth, messages, compromises

With --page it also serves a page for the browser, where one sees the drift, plays, listens and changes
settings. Only this computer reaches it; --listen lets others see it. To play and to change anything one
needs the address that is printed, token and all. Without MIDI ports the page is the input.

Examples:
  leeway live
  leeway live --page
  leeway live stage.toml --listen 0.0.0.0
  leeway live stage.toml --take takes
  leeway live --in "Stage Piano" --out "Synth" --strategy pull
  leeway live --in Keys --out Module --outlet multichannel --bend-range 2

Exit codes: 0 stopped, 2 a mistake, 3 MIDI can't be used here, 70 our own fault.`;

const DEMO_EXAMPLES = `
Serves the page as leeway live --page does, and plays a built-in piece round and round. Open the address
that is printed. The pieces: choir-warm-up, chapel-suspensions, trio-of-thirds, organ-sevenths.

Examples:
  leeway demo
  leeway demo trio-of-thirds --strategy free
  leeway demo organ-sevenths --limit 7

Exit codes: as of leeway live.`;

const PORTS_EXAMPLES = `
Lists the MIDI ports there are, which of them the names given here or in a settings file mean, and what
this computer lacks for MIDI with how to get it. A name may be a part of a port's name, in any case; #2
behind it means the second of equal names.

Examples:
  leeway ports
  leeway ports --in piano --out "Synth #2"
  leeway ports --settings stage.toml --json

Exit codes: 0 done, 2 a mistake, 3 MIDI can't be used on this computer as it is.`;

const TONE_EXAMPLES = `
Plays a note, then a pure major third over it, a pure fifth, and a unison of two keys, and says before
each what to hear. What is pure stands still. What wavers tells that the synth bends by another range
than it is sent, and what to set then. It goes round until Ctrl+C, so that the synth can be set meanwhile.

Start low: turn the volume down before the first note, above all with headphones.

Examples:
  leeway tone --out Synth
  leeway tone --out Module --outlet multichannel --bend-range 2
  leeway tone --settings stage.toml

Exit codes: 0 stopped, 2 a mistake or no such port, 3 MIDI can't be used here, 70 our own fault.`;

const CHECK_EXAMPLES = `
Tells every mistake with its line and column, or else what the settings would do. retune and explain
take the same file with --settings, and pass over what concerns only live playing.

A settings file is TOML, and what it leaves out is at its stock value:

${formatSettingsHelp().join('\n')}

Examples:
  leeway check stage.toml
  leeway check stage.toml --json

Exit codes: 0 no mistakes, 2 mistakes, or no such file.`;

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
    .option('--jobs <number>', 'how many files are worked on side by side, 1 to 256; stock: one a processor')
    .option('--resume', 'leave out files whose output is there already and newer than they are')
    .addHelpText('after', RETUNE_EXAMPLES)
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
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', EXPLAIN_EXAMPLES)
    .action(async (input: string, options: RawOptions) => finish(await runExplain(input, options, world)));

  program
    .command('render')
    .summary('make sound of a MIDI file')
    .description('Makes sound of a MIDI file, every note at its exact pitch: a WAV file, stereo.')
    .argument('<input>', 'a MIDI file, retuned or not')
    .requiredOption('-o, --output <path>', 'where the sound goes')
    .option('--voice <name>', 'reed, bowed, sung or struck; stock: reed')
    .option('--soundfont <file>', 'sound with a SoundFont (.sf2, .sf3, .dls) instead, programs and drums too')
    .option('--rate <hertz>', 'samples a second, 44100 or 48000; stock: 48000')
    .option('--bits <format>', 'bits of a sample, 16 (dithered), 24 or float; stock: 16')
    .option('--gain <decibels>', 'how much louder or softer, instead of as loud as it can be')
    .option('--piece <number>', 'which piece of a file that holds several, counted from 1; stock: 1')
    .addHelpText('after', RENDER_EXAMPLES)
    .action(async (input: string, options: RawOptions) => finish(await runRender(input, options, world)));

  const compare = program
    .command('compare')
    .summary('tune a piece in every way, side by side: page, picture, tables, files and sound')
    .description(
      'Tunes a piece under every strategy, planned as a whole and in 12 equal, and shows them side by side.',
    )
    .argument('<input>', 'a MIDI file')
    .requiredOption('-o, --output <folder>', 'the folder everything goes to');
  addOutletOptions(addSettingsOption(addPlanOptions(addTuningOptions(compare))))
    .option('--no-sound', 'make no sound files')
    .option('--voice <name>', 'what the sound files sound like: reed, bowed, sung or struck; stock: reed')
    .option('--soundfont <file>', 'let the sound files sound with a SoundFont instead')
    .option('--bits <format>', 'bits of a sample, 16 (dithered), 24 or float; stock: 16')
    .option('--piece <number>', 'which piece of a file that holds several, counted from 1; stock: 1')
    .addHelpText('after', COMPARE_EXAMPLES)
    .action(async (input: string, options: RawOptions) => finish(await runCompare(input, options, world)));

  program
    .command('pump')
    .summary('build a comma pump, and say by how much it drifts and why')
    .description('Builds an exercise that drifts by commas: from a formula to a MIDI file for a choir.')
    .argument('[formula...]', 'chords or moves of the root, or the name of a classic pump')
    .option('-o, --output <file>', 'write it as a MIDI file')
    .option('--list', 'name the classic pumps, with their commas')
    .option('--passes <number>', 'how often it goes round, 1 to 1000; stock: 4')
    .option('--seconds <number>', 'how long a chord lasts, 0.1 to 60; stock: 2')
    .option('--tonic <note>', 'what I is, and where moves begin; stock: C')
    .option('--voices <number>', '3 or 4; stock: 4')
    .option('--restruck', 'strike common notes anew instead of tying them')
    .addHelpText('after', PUMP_EXAMPLES)
    .action(async (formula: string[], options: RawOptions) => finish(await runPump(formula, options, world)));

  const live = program
    .command('live')
    .summary('play live, retuned, from MIDI ports to MIDI ports')
    .description('Plays live: from MIDI inputs, retuned to pure intervals, to MIDI outputs.')
    .argument('[settings]', 'a TOML file with settings; an option given here wins over it');
  addPageOptions(addOutletOptions(addTuningOptions(addLiveOptions(live))))
    .addHelpText('after', LIVE_EXAMPLES)
    .action(async (path: string | undefined, options: RawOptions) =>
      finish(await runLive(path, options, world)),
    );

  const demo = program
    .command('demo')
    .summary('hear and see a built-in piece drift, in the browser')
    .description('Plays a built-in piece round and round, on the page and to MIDI outputs.')
    .argument('[piece]', 'which piece', FIRST_PIECE);
  addPageOptions(addOutletOptions(addTuningOptions(addLiveOptions(demo))), true)
    .addHelpText('after', DEMO_EXAMPLES)
    .action(async (piece: string, options: RawOptions) =>
      finish(await runLive(undefined, { ...options, page: true }, world, piece)),
    );

  const ports = program
    .command('ports')
    .summary('list MIDI ports, and what is missing for MIDI')
    .description('Lists the MIDI ports there are, and says what is missing.');
  addSettingsOption(addPortOptions(ports))
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', PORTS_EXAMPLES)
    .action(async (options: RawOptions) => finish(await runPorts(options, world)));

  const tone = program
    .command('tone')
    .summary('hear whether a synth bends as far as it is told to')
    .description(
      'Plays pure intervals through an outlet, to hear whether the bend range of the synth is right.',
    );
  addOutletOptions(addSettingsOption(addOutputOptions(tone)))
    .addHelpText('after', TONE_EXAMPLES)
    .action(async (options: RawOptions) => finish(await runTone(options, world)));

  program
    .command('check')
    .summary('check a settings file')
    .description('Checks a settings file.')
    .argument('<settings>', 'a TOML file with settings')
    .option('--json', 'print JSON for other programs')
    .addHelpText('after', CHECK_EXAMPLES)
    .action(async (path: string, options: RawOptions) => finish(await runCheck(path, options, world)));
  return program;
}
