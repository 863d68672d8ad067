import { formatError } from './format/errors.js';
import type { OutputStream, World } from './world.js';

/** Prints requested output. */
export function say(output: OutputStream, lines: readonly string[]): void {
  if (lines.length > 0) output.write(`${lines.join('\n')}\n`);
}

/** Prints errors, one a line, on standard error. */
export function complain(world: World, errors: readonly unknown[]): void {
  const debug = Boolean(world.env.LEEWAY_DEBUG);
  say(
    world.stderr,
    errors.map((error) => formatError(error, debug)),
  );
}

/** Whether a stream shows colour: a terminal does, unless the user has switched it off. */
export function hasColour(output: OutputStream, { env }: World): boolean {
  return output.isTTY === true && !env.NO_COLOR;
}
