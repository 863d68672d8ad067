import process from 'node:process';
import { CommanderError } from 'commander';
import { CLOCK, goFirst } from '../io/clock/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { createProgram, findHelped, findTopic, loadCommand } from './program.js';
import { complain } from './say.js';
import { onSignal } from './signals.js';
import { nameSourcesInStacks } from './source-stack.js';
import type { World } from './world.js';

/**
 * Runs one command.
 * @param argv the arguments after the program's name
 * @returns the exit code; nothing is thrown
 * @example await run(['retune', 'a.mid', '-o', 'b.mid'], world)  // 0
 */
export async function run(argv: readonly string[], world: World): Promise<number> {
  let code: ExitCode = EXIT.done;
  const finish = (its: ExitCode) => {
    code = its;
  };
  const program = createProgram(world, finish);
  try {
    if (argv.length === 0) {
      world.stderr.write(program.helpInformation());
      return EXIT.mistake;
    }
    const topic = await findTopic(argv);
    if (topic !== undefined) {
      world.stdout.write(topic);
      return EXIT.done;
    }
    const helped = findHelped(program, argv);
    if (helped !== undefined) await loadCommand(helped, world, finish);
    await program.parseAsync(argv, { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError && error.exitCode === 0) return EXIT.done; // help, version
    if (isBrokenPipe(error)) return EXIT.done;
    const shown = error instanceof CommanderError ? toUsageError(error, argv) : error;
    complain(world, [shown]);
    return shown instanceof LeewayError ? (shown.exitCode ?? EXIT.mistake) : EXIT.bug;
  }
}

/**
 * Runs the command this process was started with. When a reader goes away early (`… | head`), the rest of its output is
 * dropped quietly; the work itself, such as writing files, is finished.
 */
export async function main(): Promise<number> {
  nameSourcesInStacks();
  const { stdin, stdout, stderr, env } = process;
  for (const stream of [stdout, stderr]) {
    stream.on('error', (error) => {
      if (!isBrokenPipe(error)) throw error;
    });
  }
  return run(process.argv.slice(2), {
    stdin,
    stdout,
    stderr,
    env,
    clock: CLOCK,
    goFirst,
    openPorts: async () => (await import('../io/ports/index.js')).openPortSystem(),
    on: onSignal,
  });
}

function isBrokenPipe(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EPIPE';
}

/** A mistake in the command line, in this program's words. */
function toUsageError(error: CommanderError, argv: readonly string[]): LeewayError {
  if (error.code === 'commander.help') {
    return new LeewayError({
      code: 'USAGE',
      message: `There is no command ${argv.at(-1)} to help with.`,
      advice: 'leeway --help lists the commands.',
    });
  }
  const [sentence, hint] = error.message.replace(/^error: /, '').split('\n');
  const nearest = /Did you mean (.*)\?/.exec(hint ?? '')?.[1];
  return new LeewayError({
    code: 'USAGE',
    message: `${sentence.charAt(0).toUpperCase()}${sentence.slice(1).replace(/\.$/, '')}.`,
    advice:
      nearest === undefined
        ? 'leeway --help lists the commands, leeway help COMMAND its options.'
        : `Did you mean ${nearest}?`,
  });
}
