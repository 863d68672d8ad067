import type { WebSocket } from 'ws';
import { type Downstream, FileAssembly, formatMessage, type Refused } from '../../core/protocol/index.js';

/** Messages a second from one viewer, and at once: ten fingers and a slider need far fewer. */
const MESSAGES_PER_SECOND = 120;
const MESSAGE_BURST = 240;
/** Most mistakes of a viewer before it is disconnected: unreadable messages, wrong tokens, too many messages. */
const MOST_MISTAKES = { MALFORMED: 20, WRONG_TOKEN: 5, TOO_FAST: 2000 } as const;
/** A viewer with more bytes than this waiting gets no frames; below it, the newest state. */
const MOST_WAITING_BYTES = 262_144;
const CAUGHT_UP_BYTES = 16_384;
/** Least time between refusals of one kind, in milliseconds. */
const REFUSAL_PAUSE_MS = 1000;

/** Codes for closing a viewer's socket: RFC 6455, 7.4.1, and 4000 on for this program. */
export const CLOSE = {
  goingAway: [1001, 'Leeway has been stopped.'],
  policy: [1008, 'Too many messages, or too many that make no sense.'],
  full: [1013, 'There are as many viewers as Leeway takes. Try again later.'],
  version: [4001, 'This Leeway speaks another version of the feed. Load the page again.'],
} as const satisfies Record<string, readonly [number, string]>;

/** One viewer's socket and state. The bytes waiting to be sent are bounded. */
export class Viewer {
  readonly id: number;
  readonly socket: WebSocket;
  readonly assembly = new FileAssembly();
  mayControl = false;
  /** It has answered the last ping. */
  isThere = true;
  /** It missed frames, and needs a snapshot before the next one. */
  isBehind = false;
  readonly #bucket = new TokenBucket(MESSAGES_PER_SECOND, MESSAGE_BURST);
  readonly #mistakes = { MALFORMED: 0, WRONG_TOKEN: 0, TOO_FAST: 0 };
  readonly #refusedMs = new Map<Refused['code'], number>();

  constructor(id: number, socket: WebSocket) {
    this.id = id;
    this.socket = socket;
  }

  /** Counts a message. @returns whether it is within the rate */
  takes(nowMs: number): boolean {
    return this.#bucket.take(nowMs);
  }

  /** Refuses a message with a reason, at a limited rate; disconnects a viewer with too many mistakes. */
  refuse(nowMs: number, code: Refused['code'], text: string): void {
    if (code in this.#mistakes) {
      const kind = code as keyof typeof MOST_MISTAKES;
      if (++this.#mistakes[kind] > MOST_MISTAKES[kind]) {
        this.close(CLOSE.policy);
        return;
      }
    }
    const last = this.#refusedMs.get(code) ?? -Infinity;
    if (code === 'TOO_FAST' && nowMs - last < REFUSAL_PAUSE_MS) return;
    this.#refusedMs.set(code, nowMs);
    this.tell({ type: 'refused', code, text });
  }

  /** Sends a message to this viewer. Dropped if too much waits already: a snapshot will follow. */
  tell(message: Downstream): void {
    this.tellText(formatMessage(message));
  }

  /** The same with a message that is text already. */
  tellText(text: string): void {
    if (this.isClogged) this.isBehind = true;
    else this.socket.send(text);
  }

  /** Whether so much waits that nothing more is added. */
  get isClogged(): boolean {
    return this.socket.bufferedAmount > MOST_WAITING_BYTES;
  }

  /** Whether what waited has been sent. */
  get isFree(): boolean {
    return this.socket.bufferedAmount < CAUGHT_UP_BYTES;
  }

  close([code, reason]: readonly [number, string]): void {
    this.socket.close(code, reason);
  }
}

/**
 * A rate limit: a burst at once, and a rate in the long run. Allocates nothing.
 * @example
 * const bucket = new TokenBucket(120, 240);
 * bucket.take(0)  // true
 */
export class TokenBucket {
  readonly #perMs: number;
  readonly #most: number;
  #left: number;
  #atMs = -Infinity;

  constructor(perSecond: number, burst: number) {
    this.#perMs = perSecond / 1000;
    this.#most = burst;
    this.#left = burst;
  }

  take(nowMs: number): boolean {
    if (nowMs > this.#atMs) {
      if (this.#atMs !== -Infinity)
        this.#left = Math.min(this.#most, this.#left + (nowMs - this.#atMs) * this.#perMs);
      this.#atMs = nowMs;
    }
    if (this.#left < 1) return false;
    this.#left -= 1;
    return true;
  }
}
