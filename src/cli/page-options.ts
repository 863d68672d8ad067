import type { Command } from 'commander';
import { fail, type Outcome, succeed } from '../core/outcome.js';
import type { LeewayError } from '../io/leeway-error.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import { readText } from './read-port-values.js';

/** Where the page is served; `undefined`: nowhere. */
export interface PageChoice {
  readonly address: string;
  readonly port: number | undefined;
}

/** This computer alone. */
const LOOPBACK = '127.0.0.1';

/** Adds the options of the page. @param isAlways the command has a page in any case */
export function addPageOptions(command: Command, isAlways = false): Command {
  if (!isAlways) command.option('--page', 'serve the page: see the drift, play and listen in a browser');
  return command
    .option(
      '--listen <address>',
      'let others see the page, at this address of the computer; 0.0.0.0: at all of them',
    )
    .option('--port <number>', 'serve the page at this port; default: 8180, or the next that is free');
}

/** Reads the options of the page. `--listen` and `--port` ask for the page too. */
export function readPageOptions(options: RawOptions, mistakes: LeewayError[]): PageChoice | undefined {
  const reader = new OptionReader(options, mistakes);
  const address = reader.take('--listen', readText('an address'), LOOPBACK);
  const port = reader.take('--port', readPort, undefined);
  const { page, listen, port: asked } = options;
  return page === true || listen !== undefined || asked !== undefined ? { address, port } : undefined;
}

function readPort(input: unknown): Outcome<number> {
  const text = String(input);
  const advice = 'Write a whole number from 1 to 65535, such as 8180.';
  if (!/^\d{1,6}$/.test(text))
    return fail({ code: 'VALUE_NOT_NUMBER', message: `"${text.slice(0, 20)}" is not a port`, advice });
  const port = Number(text);
  if (port < 1 || port > 65_535)
    return fail({ code: 'VALUE_RANGE', message: `${port} is not a port`, advice });
  return succeed(port);
}
