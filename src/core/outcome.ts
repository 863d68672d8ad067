import type { ErrorCode } from './error-codes.js';

export type { ErrorCode } from './error-codes.js';

/**
 * An expected failure as a value: core returns it and never throws for one.
 *
 * `code` is stable and upper case (`SMF_TRUNCATED`), one of those in `error-codes.ts`; `message` says where and what
 * was expected; `advice` is the next step for the person reading it.
 */
export interface Problem {
  readonly code: ErrorCode;
  readonly message: string;
  readonly advice: string;
  /** Byte offset in the input, where that makes sense. */
  readonly offset?: number;
}

/** Either a value or the one problem that prevented it. */
export type Outcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Problem };

/** Wraps a value. @example succeed(3)  // { ok: true, value: 3 } */
export function succeed<T>(value: T): Outcome<T> {
  return { ok: true, value };
}

/** Wraps a problem. @example fail({ code: 'RATIO_TEXT', message: 'no ratio', advice: 'Write 3/2.' }).ok  // false */
export function fail<T>(problem: Problem): Outcome<T> {
  return { ok: false, problem };
}
