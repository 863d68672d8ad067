import type { Command } from 'commander';
import type { ExitCode } from '../exit-codes.js';
import type { World } from '../world.js';

/**
 * Adds the specific parts of a command: description, arguments, options, help, and action. The action is loaded when it
 * runs, so that its help, and a mistake in its options, come at once.
 *
 * @param finish called with the exit code once the command has run
 */
export type Define = (command: Command, world: World, finish: (code: ExitCode) => void) => void;
