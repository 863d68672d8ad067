import { readFile } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import { type WebSocket, WebSocketServer } from 'ws';
import {
  type Downstream,
  FRAMES_PER_SECOND,
  formatMessage,
  parseUpstream,
  type Upstream,
} from '../../src/core/protocol/index.js';
import type { ScriptedSession } from './scripted-session.js';

/** The policy the page has to live under: nothing but its own files and its own feed. */
export const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data: blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
};

/** Serves the built page and a scripted session in real time, for the browser tests. */
export class ScriptedServer {
  readonly token = 'a-token-for-the-tests';
  readonly session: ScriptedSession;
  readonly #folder: string;
  readonly #http: Server;
  #feed: WebSocketServer | undefined;
  readonly #controllers = new Set<WebSocket>();
  #clock: ReturnType<typeof setInterval> | undefined;
  #port = 0;
  /** What the session's clock is ahead of the machine's, and where it stands while it is stopped. */
  #offsetMs = 0;
  #stoppedMs: number | undefined;
  /** Orders that are held back. */
  #held: Upstream[] | undefined;
  /** Answers to greetings that are held back. */
  #answers: (() => void)[] | undefined;

  constructor(session: ScriptedSession, folder: string) {
    this.session = session;
    this.#folder = folder;
    this.#http = createServer((request, response) => {
      const path = normalize(new URL(request.url ?? '/', 'http://local').pathname);
      const file = join(this.#folder, path === '/' ? 'index.html' : path);
      readFile(file).then(
        (bytes) => {
          response.writeHead(200, {
            'Content-Type': TYPES[extname(file)] ?? 'application/octet-stream',
            'Content-Security-Policy': POLICY,
          });
          response.end(bytes);
        },
        () => response.writeHead(404).end(),
      );
    });
  }

  get url(): string {
    return `http://127.0.0.1:${this.#port}/`;
  }

  /** The address with the token, as a player gets it. */
  get playerUrl(): string {
    return `${this.url}#token=${this.token}`;
  }

  async start(): Promise<void> {
    await new Promise<void>((done) => this.#http.listen(this.#port, '127.0.0.1', done));
    this.#port = (this.#http.address() as AddressInfo).port;
    this.openFeed();
    this.#offsetMs = this.session.trio.nowMs - performance.now();
    this.#clock = setInterval(() => {
      this.session.advance(this.#nowMs);
      this.#tellAll(this.session.frame());
    }, 1000 / FRAMES_PER_SECOND);
  }

  /** Lets time pass in the session at once. */
  skip(ms: number): void {
    this.session.advance(this.#nowMs);
    this.session.fastForward(ms, (frame) => this.#tellAll(frame));
    this.#offsetMs += ms;
    if (this.#stoppedMs !== undefined) this.#stoppedMs += ms;
  }

  /** Stops the session's clock: only `skip` moves it from now on. Frames go on. */
  stopClock(): void {
    this.#stoppedMs = this.#nowMs;
  }

  /** Lets it run on from where it stands. */
  startClock(): void {
    this.#offsetMs = this.#nowMs - performance.now();
    this.#stoppedMs = undefined;
  }

  /** Keeps what players order to itself, while frames go on. */
  holdOrders(): void {
    this.#held = [];
  }

  /** Carries out what was held back. */
  releaseOrders(): void {
    const held = this.#held ?? [];
    this.#held = undefined;
    for (const order of held) this.order(order);
  }

  /** Lets whoever greets wait for the answer. */
  holdAnswers(): void {
    this.#answers = [];
  }

  /** Answers whoever waits. @returns how many did */
  releaseAnswers(): number {
    const answers = this.#answers ?? [];
    this.#answers = undefined;
    for (const answer of answers) answer();
    return answers.length;
  }

  /** Carries out an order, whoever gives it, and tells everybody. */
  order(order: Upstream): void {
    const answer = this.session.take(order);
    if (answer !== undefined) this.#tellAll(answer);
  }

  /** Tells everybody something. */
  tell(message: Downstream): void {
    this.#tellAll(message);
  }

  get #nowMs(): number {
    return this.#stoppedMs ?? performance.now() + this.#offsetMs;
  }

  /** Opens the feed; after `closeFeed` it takes connections again. */
  openFeed(): void {
    this.#feed = new WebSocketServer({ server: this.#http, path: '/feed' });
    this.#feed.on('connection', (socket) => this.#welcome(socket));
  }

  /** Cuts every viewer off and lets none in. */
  closeFeed(): void {
    for (const socket of this.#feed?.clients ?? []) socket.terminate();
    this.#feed?.close();
    this.#http.removeAllListeners('upgrade');
    this.#feed = undefined;
  }

  async stop(): Promise<void> {
    clearInterval(this.#clock);
    this.closeFeed();
    this.#http.closeAllConnections();
    await new Promise((done) => this.#http.close(done));
  }

  #welcome(socket: WebSocket): void {
    tell(socket, this.session.snapshot(false));
    socket.on('message', (data) => {
      const parsed = parseUpstream(String(data));
      if (!parsed.ok)
        return tell(socket, { type: 'refused', code: 'MALFORMED', text: parsed.problem.message });
      const order = parsed.value;
      if (order.type === 'hello') {
        const mayControl = order.token === this.token;
        if (mayControl) this.#controllers.add(socket);
        const answer = () => tell(socket, { type: 'rights', mayControl });
        if (this.#answers === undefined) answer();
        else this.#answers.push(answer);
        return;
      }
      if (!this.#controllers.has(socket)) {
        return tell(socket, {
          type: 'refused',
          code: 'NO_TOKEN',
          text: 'Only who holds the token may play.',
        });
      }
      if (this.#held === undefined) this.order(order);
      else this.#held.push(order);
    });
  }

  #tellAll(message: Downstream): void {
    const text = formatMessage(message);
    for (const socket of this.#feed?.clients ?? []) socket.send(text);
  }
}

function tell(socket: WebSocket, message: Downstream): void {
  socket.send(formatMessage(message));
}
