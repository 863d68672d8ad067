import type { WebSocket } from 'ws';
import { type Downstream, FileAssembly, formatMessage, type Refused } from '../../core/protocol/index.js';

/** Messages a second from one viewer, and at once: ten fingers and a slider stay far below. */
const MESSAGES_PER_SECOND = 120;
const MESSAGE_BURST = 240;
/** What a viewer may get wrong before it is let go: messages that can't be read, wrong tokens, messages too many. */
const MOST_MISTAKES = { MALFORMED: 20, WRONG_TOKEN: 5, TOO_FAST: 2000 } as const;
/** A viewer with more than this waiting is sent no frames, in bytes; with less than that it gets the newest state. */
const MOST_WAITING_BYTES = 262_144;
const CAUGHT_UP_BYTES = 16_384;
/** A refusal of one kind is told no oftener than this, in milliseconds. */
const REFUSAL_PAUSE_MS = 1000;

/** Why a viewer's socket is closed by us; RFC 6455, 7.4.1, and 4000 on for our own. */
export const CLOSE = {
  goingAway: [1001, 'Leeway has been stopped.'],
  policy: [1008, 'Too many messages, or too many that make no sense.'],
  full: [1013, 'There are as many viewers as Leeway takes. Try again later.'],
  version: [4001, 'This Leeway speaks another version of the feed. Load the page again.'],
} as const satisfies Record<string, readonly [number, string]>;

/** One viewer's socket and what is known of it. What waits to be sent to it is bounded. */
export class Viewer {
  readonly id: number;
  readonly socket: WebSocket;
  readonly assembly = new FileAssembly();
  mayControl = false;
  /** It has answered since it was last asked whether it is there. */
  isThere = true;
  /** It missed frames, and must be sent a snapshot before the next one. */
  isBehind = false;
  readonly #bucket = new TokenBucket(MESSAGES_PER_SECOND, MESSAGE_BURST);
  readonly #mistakes = { MALFORMED: 0, WRONG_TOKEN: 0, TOO_FAST: 0 };
  readonly #toldMs = new Map<Refused['code'], number>();

  constructor(id: number, socket: WebSocket) {
    this.id = id;
    this.socket = socket;
  }

  /** Counts a message. @returns whether it comes slowly enough */
  takes(nowMs: number): boolean {
    return this.#bucket.take(nowMs);
  }

  /** Says why a message was not carried out, now and then; lets a viewer go that makes too many mistakes. */
  refuse(nowMs: number, code: Refused['code'], text: string): void {
    if (code in this.#mistakes) {
      const kind = code as keyof typeof MOST_MISTAKES;
      if (++this.#mistakes[kind] > MOST_MISTAKES[kind]) {
        this.close(CLOSE.policy);
        return;
      }
    }
    const told = this.#toldMs.get(code) ?? -Infinity;
    if (code === 'TOO_FAST' && nowMs - told < REFUSAL_PAUSE_MS) return;
    this.#toldMs.set(code, nowMs);
    this.tell({ type: 'refused', code, text });
  }

  /** Sends a message of its own. Dropped if too much waits already: a snapshot will follow. */
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

  /** Whether what waited has gone out. */
  get isFree(): boolean {
    return this.socket.bufferedAmount < CAUGHT_UP_BYTES;
  }

  close([code, reason]: readonly [number, string]): void {
    this.socket.close(code, reason);
  }
}

/**
 * How fast somebody may go: so many at once, and so many a second in the long run. Allocates nothing.
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
