import type { Problem } from '../core/outcome.js';
import { LeewayError } from '../io/leeway-error.js';

/**
 * A problem of core as the error that edges throw: the one place where one becomes the other.
 *
 * The message becomes a whole sentence, with the place it is about in front and the byte offset behind, if it has one
 * and doesn't tell it already.
 *
 * @param where what the problem is about, as a person knows it: a file, or an option with its value
 * @example toLeewayError({ code: 'TONIC_NAME', message: '"H" is not the name of a tonic', advice: '…' }, '--tonic').message
 *   // '--tonic: "H" is not the name of a tonic.'
 */
export function toLeewayError(problem: Problem, where?: string): LeewayError {
  const { offset } = problem;
  const bare = problem.message.replace(/\.$/, '');
  const place = offset === undefined || bare.includes(`byte ${offset}`) ? '' : ` (byte ${offset})`;
  const sentence = /[?!…]$/.test(bare) ? bare + place : `${bare}${place}.`;
  const message = where === undefined ? sentence : `${where}: ${sentence}`;
  return new LeewayError({ code: problem.code, message, advice: problem.advice });
}
