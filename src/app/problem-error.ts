import type { Problem } from '../core/outcome.js';
import { LeewayError } from '../io/leeway-error.js';

/**
 * A problem of core as the error that edges throw: the only conversion.
 *
 * The message becomes a whole sentence, with its place in front and the byte offset behind, if there is one and the
 * message lacks it.
 *
 * @param where the place of the problem, for people: a file, or an option with its value
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
