import * as v from 'valibot';
import { type ErrorCode, fail, type Outcome, succeed } from '../outcome.js';
import { type Downstream, DownstreamSchema } from './downstream.js';
import { LIMITS } from './limits.js';
import { type Upstream, UpstreamSchema } from './upstream.js';

/**
 * Reads a viewer's message.
 *
 * Fails with `FEED_LONG` over the bound (counted in UTF-8 bytes), `FEED_JSON` for what is no JSON, and `FEED_SHAPE` for
 * anything a viewer may not send; the message names the field.
 *
 * @example parseUpstream('{"type":"play","act":"on","key":60,"velocity":80}').ok  // true
 */
export function parseUpstream(text: string): Outcome<Upstream> {
  return parse(UpstreamSchema, text, LIMITS.upstreamBytes);
}

/**
 * Reads a message of the server. Unknown fields are left out. Fails with `FEED_LONG`, `FEED_JSON` and `FEED_SHAPE`, as
 * {@link parseUpstream}.
 */
export function parseDownstream(text: string): Outcome<Downstream> {
  return parse(DownstreamSchema, text, LIMITS.downstreamCharacters);
}

/**
 * A message as text, for either direction. Can't fail; the text is within the bounds if the message is.
 * @example formatMessage({ type: 'rights', mayControl: true })  // '{"type":"rights","mayControl":true}'
 */
export function formatMessage(message: Upstream | Downstream): string {
  return JSON.stringify(message);
}

function parse<T>(schema: v.GenericSchema<unknown, T>, text: string, most: number): Outcome<T> {
  // A character is at most three bytes in UTF-8 (a pair of surrogates four); counted only where it could matter.
  if (text.length > most || (3 * text.length > most && countBytes(text) > most)) {
    return fail(problem('FEED_LONG', `the message is longer than ${most} bytes`));
  }
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return fail(problem('FEED_JSON', 'the message is no JSON'));
  }
  const checked = v.safeParse(schema, json, { abortEarly: true });
  if (checked.success) return succeed(checked.output);
  const [issue] = checked.issues;
  const path = v.getDotPath(issue);
  return fail(
    problem('FEED_SHAPE', `${path === null ? '' : `${path}: `}${issue.message}`.slice(0, LIMITS.text)),
  );
}

function countBytes(text: string): number {
  let bytes = 0;
  for (const character of text) {
    const code = character.codePointAt(0)!;
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  }
  return bytes;
}

function problem(code: ErrorCode, message: string) {
  return { code, message, advice: 'src/core/protocol/README.md lists what may be sent.' };
}
