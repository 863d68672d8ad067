import { randomUUID } from 'node:crypto';
import { Worker } from 'node:worker_threads';
import { ReplayBuffer, type SessionFacts, type SessionMessage } from '../../core/monitor/index.js';
import type { PieceFact } from '../../core/protocol/index.js';
import type { Strategy, Tuner, TunerSettings } from '../../core/tuner/index.js';
import { LeewayError } from '../leeway-error.js';
import { EventQueue } from './event-queue.js';
import type { FromServer, ServerStart } from './protocol.js';
import type { RelayAddress } from './relay-address.js';

/** Port tried first, as in 81/80, the comma that pure chords drift by; and how many after it. */
export const DEFAULT_PAGE_PORT = 8180;
const MORE_PORTS = 20;
/** Pauses before a restart of the server: doubled each time, back to the first after a quiet minute. */
const FIRST_PAUSE_MS = 100;
const LONGEST_PAUSE_MS = 5000;
const QUIET_MS = 60_000;
/** Distance between the viewer numbers of two servers. */
const VIEWERS_A_SERVER = 1_000_000_000;

/** How a server is opened. */
export interface ServerConfig {
  /** The address it listens on: 127.0.0.1 for this computer alone. */
  readonly address: string;
  /** `undefined`: the default port, or the next free one. */
  readonly port: number | undefined;
  readonly token: string;
  readonly folder: string;
  readonly version: string;
  readonly pieces: readonly PieceFact[];
  readonly settings: TunerSettings;
  readonly facts: SessionFacts;
  /** Where frames are also published, for more onlookers than the server takes. */
  readonly relay?: RelayAddress | undefined;
}

/** Receives the viewers' orders, and the state of the server. */
export interface ServerListener {
  readonly order: (message: Extract<FromServer, { kind: 'order' | 'piece' | 'story' | 'left' }>) => void;
  /** The server has ended, for a reason, and restarts after a pause. Every viewer has left. */
  readonly lost: (reason: string, pauseMs: number) => void;
  readonly back: () => void;
  /** The relay is lost, with why, or is back (`undefined`). */
  readonly relay: (lost: string | undefined) => void;
}

/**
 * Runs a server in a separate thread, and restarts it whenever it ends. The new one has the same port, the state of the
 * old one and all messages since, so that viewers find everything as it is.
 */
export class ServerSupervisor {
  readonly queue = new EventQueue((message) => this.#post(message));
  readonly #config: ServerConfig;
  /** One for each session, whatever happens to the server. */
  readonly #session = randomUUID();
  readonly #listener: ServerListener;
  readonly #pause: (run: () => void, ms: number) => NodeJS.Timeout;
  #worker: Worker | undefined;
  #isReady = false;
  #isClosed = false;
  #port: number | undefined;
  #starts = 0;
  #failures = 0;
  #startedMs = 0;
  #retry: NodeJS.Timeout | undefined;
  readonly #buffer: ReplayBuffer;
  restarts = 0;

  constructor(
    config: ServerConfig,
    listener: ServerListener,
    pause = setTimeout as (run: () => void, ms: number) => NodeJS.Timeout,
  ) {
    this.#config = config;
    this.#listener = listener;
    this.#pause = pause;
    this.#buffer = new ReplayBuffer(config.settings, config.facts);
  }

  /**
   * Starts the server. Rejects with a LeewayError if it can't listen: PAGE_PORT, PAGE_ADDRESS, PAGE_MISSING.
   * @returns the port
   */
  open(): Promise<number> {
    return new Promise((resolve, reject) => this.#launch(resolve, reject));
  }

  get threadId(): number | undefined {
    return this.#worker?.threadId;
  }

  /** How many messages another server would need again: none, once this one's state is stored. */
  get owed(): number {
    return this.#buffer.undone.length;
  }

  /** The tuner of a strategy at this moment; `undefined` if the server has missed messages. */
  toTuner(strategy: Strategy): Tuner | undefined {
    this.queue.flush();
    return this.#buffer.toTuner(strategy);
  }

  /** Kills the thread as a fault would: for tests, and for a stuck one. */
  kill(): Promise<unknown> {
    return this.#worker?.terminate() ?? Promise.resolve();
  }

  /** Disconnects every viewer and ends the thread. Does nothing the second time. */
  async close(): Promise<void> {
    if (this.#isClosed) return;
    this.#isClosed = true;
    clearTimeout(this.#retry);
    const worker = this.#worker;
    if (worker === undefined) return;
    const gone = new Promise((done) => worker.once('exit', done));
    worker.postMessage('close');
    const late = setTimeout(() => void worker.terminate(), 1000);
    await gone;
    clearTimeout(late);
  }

  #launch(resolve?: (port: number) => void, reject?: (error: LeewayError) => void): void {
    const { address, port, token, folder, version, pieces, relay } = this.#config;
    const start: ServerStart = {
      address,
      port: this.#port ?? port ?? DEFAULT_PAGE_PORT,
      morePorts: this.#port === undefined && port === undefined ? MORE_PORTS : 0,
      token,
      session: this.#session,
      folder,
      version,
      pieces,
      relay,
      firstViewer: VIEWERS_A_SERVER * this.#starts++ + 1,
      ...this.#buffer.begin(),
    };
    const worker = new Worker(WORKER, { workerData: start });
    this.#worker = worker;
    this.#startedMs = performance.now();
    for (const message of this.#buffer.undone) worker.postMessage(message);
    let refusal: LeewayError | undefined;
    let fault = 'its thread ended';
    worker.on('message', (message: FromServer) => {
      if (worker !== this.#worker) return;
      switch (message.kind) {
        case 'listening':
          this.#isReady = true;
          this.#port = message.port;
          if (resolve === undefined) this.#listener.back();
          resolve?.(message.port);
          break;
        case 'refused':
          refusal = toListeningError(message, address, start.port);
          fault = refusal.message;
          void worker.terminate();
          break;
        case 'done':
          this.#buffer.settle(message.count, message.snapshot);
          break;
        case 'relay':
          this.#listener.relay(message.lost);
          break;
        default:
          this.#listener.order(message);
      }
    });
    worker.on('error', (error) => {
      fault = error instanceof Error ? error.message : String(error);
    });
    worker.on('exit', () => {
      if (worker !== this.#worker) return;
      this.#worker = undefined;
      const wasReady = this.#isReady;
      this.#isReady = false;
      if (this.#isClosed) return;
      if (this.#port === undefined && reject !== undefined) {
        this.#isClosed = true;
        reject(refusal ?? toListeningError({ code: '', message: fault }, address, start.port));
        return;
      }
      this.#comeBack(fault, wasReady);
    });
  }

  #comeBack(fault: string, wasReady: boolean): void {
    if (wasReady && performance.now() - this.#startedMs > QUIET_MS) this.#failures = 0;
    const pauseMs = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** this.#failures++);
    this.restarts++;
    this.#listener.lost(fault, pauseMs);
    this.#retry = this.#pause(() => this.#launch(), pauseMs);
  }

  /** From the queue, after the notes. A posted message is stored until the server has processed it. */
  #post(message: SessionMessage): void {
    if (this.#isClosed) return;
    this.#buffer.add(message);
    const worker = this.#worker;
    if (worker === undefined) return;
    worker.postMessage(message);
    if (this.#buffer.isStuck) void worker.terminate();
  }
}

/** The built thread; when run from the sources, which a thread can't load, the one built last. */
const WORKER = new URL(
  import.meta.url.includes('/dist/') ? './worker.js' : '../../../dist/program/worker.js',
  import.meta.url,
);

/**
 * The error for people when a server can't listen.
 *
 * @param refusal of the system or of the page's files; its code may be the system's
 * @example toListeningError({ code: 'EADDRINUSE', message: '…' }, '127.0.0.1', 8180).code  // 'PAGE_PORT'
 */
export function toListeningError(
  { code, message }: { readonly code: string; readonly message: string },
  address: string,
  port: number,
): LeewayError {
  switch (code) {
    case 'PAGE_MISSING':
      return new LeewayError({ code, message, advice: 'Run npm run build in the folder of Leeway.' });
    case 'EADDRINUSE':
      return new LeewayError({
        code: 'PAGE_PORT',
        message: `Port ${port} for the page is in use.`,
        advice: 'Choose another with --port, or leave it out and the next free one is taken.',
      });
    case 'EACCES':
      return new LeewayError({
        code: 'PAGE_PORT',
        message: `Port ${port} for the page may not be used.`,
        advice: 'Choose one above 1023 with --port.',
      });
    default:
      return new LeewayError({
        code: 'PAGE_ADDRESS',
        message: `The page can't be served at ${address}: ${message}.`,
        advice:
          'Give --listen an address of this computer, such as 0.0.0.0 for all of them, or leave it out.',
      });
  }
}
