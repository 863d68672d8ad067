import type { Problem } from '../../core/outcome.js';
import { LeewayError } from '../../io/leeway-error.js';

/**
 * An error for people. A fault of this program is marked as such, with its stack on request.
 *
 * @example leeway: cut.mid: Expected 6 bytes, found 2 (byte 8). The file was cut off; get it again. [SMF_TRUNCATED]
 */
export function formatError(error: unknown, debug: boolean): string {
  if (error instanceof LeewayError) return `leeway: ${error.message} ${error.advice} [${error.code}]`;
  const message = error instanceof Error ? error.message : String(error);
  const stack = debug && error instanceof Error && error.stack ? `\n${error.stack}` : '';
  const advice = 'Please report it with the file and the command; LEEWAY_DEBUG=1 shows where it happened.';
  return `leeway: This is a fault of Leeway's own: ${message}. ${advice} [BUG]${stack}`;
}

/** A warning that didn't stop the work. @param where the file it is in */
export function formatWarning({ message, offset, code }: Problem, where: string): string {
  const place = offset === undefined || message.includes(`byte ${offset}`) ? '' : ` (byte ${offset})`;
  return `leeway: ${where}: warning: ${message.replace(/\.$/, '')}${place}. [${code}]`;
}
