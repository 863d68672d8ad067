import { toLeewayError } from '../../app/problem-error.js';
import type { LeewayError } from '../../io/leeway-error.js';
import { OPTIONS } from './command-options.js';
import { OptionReader, type RawOptions } from './option-reader.js';

/** The address of the page; `undefined`: no page. */
export interface PageChoice {
  readonly address: string;
  readonly port: number | undefined;
  /** A file with a story to tell, beside the built-in one. */
  readonly story: string | undefined;
  /** The address of a relay as it was given, with its password; not checked yet. */
  readonly relay: string | undefined;
  /** The token of the last session in this folder doesn't hold any more. */
  readonly hasNewToken: boolean;
}

/** Reads the options of the page. `--listen`, `--port`, `--story`, `--new-token` and `--relay` imply the page. */
export function readPageOptions(options: RawOptions, mistakes: LeewayError[]): PageChoice | undefined {
  const reader = new OptionReader(options, mistakes);
  const address = reader.take(OPTIONS.listen);
  const story = reader.take(OPTIONS.story);
  const relay = reader.take(OPTIONS.relay);
  const { page, listen, port: asked, story: told, newToken, relay: published } = options;
  const port = asked === undefined ? undefined : readPort(asked, mistakes);
  const isWanted =
    page === true || [listen, asked, told, newToken, published].some((one) => one !== undefined);
  return isWanted ? { address, port, story, relay, hasNewToken: newToken === true } : undefined;
}

function readPort(input: unknown, mistakes: LeewayError[]): number | undefined {
  const text = String(input);
  const port = /^\d{1,6}$/.test(text) ? Number(text) : Number.NaN;
  if (port >= 1 && port <= 65_535) return port;
  const [code, shown] = Number.isNaN(port)
    ? (['VALUE_NOT_NUMBER', `"${text.slice(0, 20)}"`] as const)
    : (['VALUE_RANGE', port] as const);
  const advice = 'Write a whole number from 1 to 65535, such as 8180.';
  mistakes.push(toLeewayError({ code, message: `${shown} is not a port`, advice }, '--port'));
  return undefined;
}
