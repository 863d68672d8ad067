import type { Command } from 'commander';
import type { ExitCode } from '../exit-codes.js';
import type { World } from '../world.js';

/**
 * Adds to a command what only it needs: description, arguments, options, help, and what it does.
 *
 * What a command does is loaded when it is done, so that its help, and a mistake in its options, come at once.
 *
 * @param finish told the exit code once the command has run
 */
export type Define = (command: Command, world: World, finish: (code: ExitCode) => void) => void;
