import { Command } from 'commander';
import type { Define } from './commands/definition.js';
import type { ExitCode } from './exit-codes.js';
import { LINE_WIDTH } from './format/wrap.js';
import { readVersion } from './root.js';
import type { World } from './world.js';

/** A command in the list of commands, and the module with the rest. */
interface Listed {
  /** The arguments after its name. */
  readonly takes: string;
  readonly summary: string;
  readonly load: () => Promise<{ readonly define: Define }>;
}

/** Every command, in the order of the list. Only the requested one is loaded. */
const COMMANDS: Readonly<Record<string, Listed>> = {
  retune: {
    takes: '[options] <input...>',
    summary: 'retune MIDI files to pure intervals',
    load: () => import('./commands/retune.js'),
  },
  explain: {
    takes: '[options] <input>',
    summary: 'say chord by chord why each note was tuned as it was',
    load: () => import('./commands/explain.js'),
  },
  render: {
    takes: '[options] <input>',
    summary: 'make sound of a MIDI file',
    load: () => import('./commands/render.js'),
  },
  compare: {
    takes: '[options] <input>',
    summary: 'tune a piece in every way, side by side: page, picture, tables, files and sound',
    load: () => import('./commands/compare.js'),
  },
  pump: {
    takes: '[options] [formula...]',
    summary: 'build a comma pump, and say by how much it drifts and why',
    load: () => import('./commands/pump.js'),
  },
  live: {
    takes: '[options] [settings]',
    summary: 'play live, retuned, from MIDI ports to MIDI ports',
    load: () => import('./commands/live.js'),
  },
  demo: {
    takes: '[options] [piece]',
    summary: 'hear and see a built-in piece drift, in the browser',
    load: () => import('./commands/demo.js'),
  },
  ports: {
    takes: '[options]',
    summary: 'list MIDI ports, and what is missing for MIDI',
    load: () => import('./commands/ports.js'),
  },
  tone: {
    takes: '[options]',
    summary: 'hear whether a synth bends as far as it is told to',
    load: () => import('./commands/tone.js'),
  },
  check: {
    takes: '[options] <settings>',
    summary: 'check a settings file',
    load: () => import('./commands/check.js'),
  },
};
const HELP_COMMAND = 'help';
/** Further topics of `leeway help`: the names of `TOPICS` in `words/topics.ts`, which is loaded when needed. */
const TOPIC_NAMES = ['settings', 'errors'] as const;
const TOPICS_HELP = `
leeway help settings lists every setting, leeway help errors every error code with what to do.`;

/**
 * The command line. A command gets its options and its action when it is loaded, by {@link loadCommand}, on dispatch.
 * @param finish called with the exit code of the command
 */
export function createProgram(world: World, finish: (code: ExitCode) => void): Command {
  const program = new Command('leeway')
    .description('Adaptive just intonation for MIDI: pure chords, with the drift in plain sight.')
    .version(readVersion(), '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand(`${HELP_COMMAND} [command]`, 'print the help of a command, all settings or all errors')
    .addHelpText('after', TOPICS_HELP)
    .configureHelp({ subcommandTerm: toTerm })
    .exitOverride()
    .configureOutput({
      writeOut: (text) => void world.stdout.write(text),
      writeErr: (text) => void world.stderr.write(text),
      outputError: () => {}, // `run` words all errors
      getOutHelpWidth: () => Math.min(LINE_WIDTH, world.stdout.columns ?? LINE_WIDTH),
    })
    .hook('preSubcommand', (_program, command) => loadCommand(command, world, finish));
  for (const [name, { summary }] of Object.entries(COMMANDS)) program.command(name).summary(summary);
  return program;
}

/** Loads what the list of commands doesn't need, and adds it to one of its commands. */
export async function loadCommand(
  command: Command,
  world: World,
  finish: (code: ExitCode) => void,
): Promise<void> {
  const { define } = await COMMANDS[command.name()].load();
  define(command, world, finish);
}

/** The command of `leeway help COMMAND`. Its help is printed without dispatch. */
export function findHelped(program: Command, argv: readonly string[]): Command | undefined {
  const [first, second] = argv.filter((word) => word !== '--');
  return first === HELP_COMMAND ? program.commands.find((one) => one.name() === second) : undefined;
}

/** The text of `leeway help TOPIC`; undefined for any other command line. */
export async function findTopic(argv: readonly string[]): Promise<string | undefined> {
  const [first, second, ...more] = argv.filter((word) => word !== '--');
  const name = TOPIC_NAMES.find((one) => one === second);
  if (first !== HELP_COMMAND || name === undefined || more.length > 0) return undefined;
  const { TOPICS } = await import('./format/topics.js');
  return `${TOPICS[name]().join('\n')}\n`;
}

/** As in: check [options] <settings>. */
function toTerm(command: Command): string {
  return `${command.name()} ${COMMANDS[command.name()]?.takes ?? '[command]'}`;
}
