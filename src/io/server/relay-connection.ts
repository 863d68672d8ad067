import { type ClientRequest, Agent as HttpAgent, request as requestHttp } from 'node:http';
import { Agent as HttpsAgent, request as requestHttps } from 'node:https';
import type { RelayAddress } from './relay-address.js';

/** What is published: each on a channel of its own, of which the relay keeps the newest message. */
export type Published = 'frame' | 'snapshot';

/** A relay must have answered by then. */
const ANSWER_MS = 5000;

/** The one connection up to a relay. It stays open between messages, and is opened again when it was closed. */
export class RelayConnection {
  readonly #address: RelayAddress;
  readonly #isSecure: boolean;
  readonly #agent: HttpAgent;
  readonly #answerMs: number;

  constructor(address: RelayAddress, answerMs = ANSWER_MS) {
    this.#address = address;
    this.#answerMs = answerMs;
    this.#isSecure = address.page.startsWith('https:');
    const one = { keepAlive: true, maxSockets: 1 };
    this.#agent = this.#isSecure ? new HttpsAgent(one) : new HttpAgent(one);
  }

  /**
   * Publishes a message. Send the next one when this has been answered. Never rejects.
   * @returns `undefined` when the relay has it, or else why not, in words without a password
   */
  post(what: Published, text: string): Promise<string | undefined> {
    return new Promise((resolve) => {
      const { page, authorization } = this.#address;
      const body = Buffer.from(text);
      const open = this.#isSecure ? requestHttps : requestHttp;
      const request: ClientRequest = open(new URL(`publish/${what}`, page), {
        method: 'POST',
        agent: this.#agent,
        signal: AbortSignal.timeout(this.#answerMs),
        headers: {
          'Content-Type': 'application/json',
          'Content-Length': body.length,
          ...(authorization === undefined ? {} : { Authorization: authorization }),
        },
      });
      request.on('response', (response) => {
        response.resume();
        response.on('error', (error) => resolve(toReason(error, this.#answerMs)));
        response.on('end', () => resolve(toRefusal(response.statusCode ?? 0)));
      });
      request.on('error', (error) => resolve(toReason(error, this.#answerMs)));
      request.end(body);
    });
  }

  close(): void {
    this.#agent.destroy();
  }
}

/** Why a message was not taken, by the HTTP status of the answer. */
function toRefusal(status: number): string | undefined {
  if (status >= 200 && status < 300) return undefined;
  if (status === 401 || status === 403) return `it wants another name or password (status ${status})`;
  if (status === 404 || status === 405) return `it takes no messages there (status ${status})`;
  return `it answers with status ${status}`;
}

function toReason(error: NodeJS.ErrnoException, answerMs: number): string {
  if (error.name === 'AbortError') return `it didn't answer within ${answerMs / 1000} s`;
  // A name with several addresses fails with a list of errors, and no text of its own.
  return `it doesn't answer (${error.message === '' ? error.code : error.message})`;
}
