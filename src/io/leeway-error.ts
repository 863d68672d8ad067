import type { ErrorCode } from '../core/outcome.js';

/**
 * The one error the edges throw: a stable `code`, a sentence for people as the message, and advice.
 *
 * @example
 * const error = new LeewayError({ code: 'FILE_MISSING', message: 'There is no file a.mid.', advice: 'Check it.' });
 * error.code  // 'FILE_MISSING'
 */
export class LeewayError extends Error {
  override readonly name = 'LeewayError';
  /** Upper case and stable: programs may rely on it. */
  readonly code: ErrorCode;
  /** The next step for the person reading it. */
  readonly advice: string;
  /** The exit code of a command that ends by it, if not the usual one. */
  readonly exitCode: number | undefined;

  constructor(
    problem: { readonly code: ErrorCode; readonly message: string; readonly advice: string },
    options: { cause?: unknown; exitCode?: number } = {},
  ) {
    super(problem.message, { cause: options.cause });
    this.code = problem.code;
    this.advice = problem.advice;
    this.exitCode = options.exitCode;
  }
}
