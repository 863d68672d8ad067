import type { Command } from 'commander';
import { toLeewayError } from '../app/problem-error.js';
import { fail, type Outcome, succeed } from '../core/outcome.js';
import type { LeewayError } from '../io/leeway-error.js';
import type { RawOptions } from './choice-options.js';
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
    .option('--port <number>', 'serve the page at this port; stock: 8180, or the next that is free');
}

/** Reads the options of the page. `--listen` and `--port` ask for the page too. */
export function readPageOptions(
  { page, listen, port }: RawOptions,
  mistakes: LeewayError[],
): PageChoice | undefined {
  const read = <T>(outcome: Outcome<T>, flag: string): T | undefined => {
    if (outcome.ok) return outcome.value;
    mistakes.push(toLeewayError(outcome.problem, flag));
    return undefined;
  };
  const address = listen === undefined ? LOOPBACK : read(readText('an address')(listen), '--listen');
  const number = port === undefined ? undefined : read(readPort(String(port)), '--port');
  if (page !== true && listen === undefined && port === undefined) return undefined;
  return { address: address ?? LOOPBACK, port: number };
}

function readPort(text: string): Outcome<number> {
  const advice = 'Write a whole number from 1 to 65535, such as 8180.';
  if (!/^\d{1,6}$/.test(text))
    return fail({ code: 'VALUE_NOT_NUMBER', message: `"${text.slice(0, 20)}" is not a port`, advice });
  const port = Number(text);
  if (port < 1 || port > 65_535)
    return fail({ code: 'VALUE_RANGE', message: `${port} is not a port`, advice });
  return succeed(port);
}
