import {
  type Downstream,
  FEED_VERSION,
  formatMessage,
  parseDownstream,
  toPauseMs,
  type Upstream,
} from '../../core/protocol/index.js';

/** State of the link to the server. `other-version`: this page and that server have different feeds. */
export type LinkState = 'opening' | 'open' | 'lost' | 'other-version';

/** Receives everything that comes over a link. */
export interface LinkListener {
  readonly message: (message: Downstream) => void;
  readonly state: (state: LinkState) => void;
}

/** Orders are dropped while more than this waits in the socket: late notes are worse than none. */
const MOST_BUFFERED = 65_536;

/**
 * The feed of one server: connects, says hello if there is a token, checks every message, and reconnects with growing
 * pauses when the link is lost. Without a token nothing goes up: a relay cuts off whoever sends. What can't be sent is
 * dropped: notes of a minute ago must not sound when the link is back.
 */
export class Link {
  readonly #url: string;
  readonly #token: string | undefined;
  readonly #listener: LinkListener;
  #socket: WebSocket | undefined;
  #failures = 0;
  #retry: ReturnType<typeof setTimeout> | undefined;
  #stopped = false;

  constructor(url: string, token: string | undefined, listener: LinkListener) {
    this.#url = url;
    this.#token = token;
    this.#listener = listener;
  }

  start(): void {
    this.#stopped = false;
    this.#open();
  }

  stop(): void {
    this.#stopped = true;
    clearTimeout(this.#retry);
    this.#socket?.close();
  }

  /** Sends an order if there is a link. @returns whether it went out */
  send(order: Upstream): boolean {
    const socket = this.#socket;
    if (socket?.readyState !== WebSocket.OPEN || socket.bufferedAmount > MOST_BUFFERED) return false;
    socket.send(formatMessage(order));
    return true;
  }

  #open(): void {
    const socket = new WebSocket(this.#url);
    this.#socket = socket;
    socket.addEventListener('open', () => {
      const token = this.#token;
      if (token !== undefined) this.send({ type: 'hello', version: FEED_VERSION, token });
    });
    socket.addEventListener('message', ({ data }) => {
      if (typeof data === 'string') this.#take(data);
    });
    socket.addEventListener('close', () => this.#lose());
  }

  #take(text: string): void {
    const parsed = parseDownstream(text);
    if (!parsed.ok) return;
    const message = parsed.value;
    if (message.type === 'snapshot') {
      this.#failures = 0;
      if (message.version !== FEED_VERSION) {
        this.#listener.state('other-version');
        this.stop();
        return;
      }
      this.#listener.state('open');
    }
    this.#listener.message(message);
  }

  #lose(): void {
    if (this.#stopped) return;
    this.#listener.state('lost');
    this.#retry = setTimeout(() => this.#open(), toPauseMs(this.#failures++, Math.random()));
  }
}
