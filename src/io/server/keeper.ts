import { randomUUID } from 'node:crypto';
import { Worker } from 'node:worker_threads';
import type { PieceFact } from '../../core/feed/index.js';
import type { KeptSettings } from '../../core/tuner/index.js';
import type { LeewayError } from '../leeway-error.js';
import { Backlog } from './backlog.js';
import { Journal } from './journal.js';
import { toListeningError } from './listening-error.js';
import type { FromServer, ServerStart, ToServer } from './protocol.js';
import type { SessionFacts } from './session-facts.js';

/** Port tried first, as in 81/80, the comma that pure chords drift by; and how many after it. */
export const STOCK_PORT = 8180;
const MORE_PORTS = 20;
/** Pauses before the server is started again: doubled each time, back to the first after a quiet minute. */
const FIRST_PAUSE_MS = 100;
const LONGEST_PAUSE_MS = 5000;
const QUIET_MS = 60_000;
/** Viewer numbers of two servers lie this far apart. */
const VIEWERS_A_SERVER = 1_000_000_000;

/** What a server is opened with. */
export interface ServerWish {
  /** What it listens on: 127.0.0.1 for this computer alone. */
  readonly address: string;
  /** `undefined`: the stock port, or the next one that is free. */
  readonly port: number | undefined;
  readonly token: string;
  /** Folder of the built page. */
  readonly folder: string;
  readonly version: string;
  readonly pieces: readonly PieceFact[];
  readonly settings: KeptSettings;
  readonly facts: SessionFacts;
}

/** Told what viewers do, and how the server is. */
export interface ServerListener {
  readonly order: (message: Extract<FromServer, { kind: 'order' | 'piece' | 'left' }>) => void;
  /** The server is gone, for a reason, and comes back after a pause. Every viewer has left. */
  readonly lost: (reason: string, pauseMs: number) => void;
  readonly back: () => void;
}

/**
 * Keeps a server running in a thread of its own. The thread may die at any time: it is started again at the same port,
 * with what it had come to and all it was told since, so that viewers find everything as it is.
 */
export class ServerKeeper {
  readonly journal = new Journal((message) => this.#post(message));
  readonly #wish: ServerWish;
  /** A new one for each session, whatever the server goes through. */
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
  readonly #backlog: Backlog;
  /** Times it was started again. */
  restarts = 0;

  constructor(
    wish: ServerWish,
    listener: ServerListener,
    pause = setTimeout as (run: () => void, ms: number) => NodeJS.Timeout,
  ) {
    this.#wish = wish;
    this.#listener = listener;
    this.#pause = pause;
    this.#backlog = new Backlog(wish.settings, wish.facts);
  }

  /**
   * Starts the server. Rejects with a LeewayError if it can't listen: PAGE_PORT, PAGE_ADDRESS, PAGE_MISSING.
   * @returns the port
   */
  open(): Promise<number> {
    return new Promise((resolve, reject) => this.#launch(resolve, reject));
  }

  /** The thread's number, while there is one. */
  get threadId(): number | undefined {
    return this.#worker?.threadId;
  }

  /** How much another server would have to be told again: nothing, once what this one has come to is kept. */
  get owed(): number {
    return this.#backlog.undone.length;
  }

  /** Kills the thread, as a fault would: for tests, and for one that is stuck. */
  kill(): Promise<unknown> {
    return this.#worker?.terminate() ?? Promise.resolve();
  }

  /** Sees every viewer out and ends the thread. Does nothing the second time. */
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
    const { address, port, token, folder, version, pieces } = this.#wish;
    const start: ServerStart = {
      address,
      port: this.#port ?? port ?? STOCK_PORT,
      morePorts: this.#port === undefined && port === undefined ? MORE_PORTS : 0,
      token,
      session: this.#session,
      folder,
      version,
      pieces,
      firstViewer: VIEWERS_A_SERVER * this.#starts++ + 1,
      ...this.#backlog.begin(),
    };
    const worker = new Worker(WORKER, { workerData: start });
    this.#worker = worker;
    this.#startedMs = performance.now();
    for (const message of this.#backlog.undone) worker.postMessage(message);
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
          this.#backlog.settle(message.count, message.kept);
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

  /** From the journal, after the notes. What is posted is kept until the server has come to something with it. */
  #post(message: ToServer): void {
    if (this.#isClosed) return;
    this.#backlog.add(message);
    const worker = this.#worker;
    if (worker === undefined) return;
    worker.postMessage(message);
    if (this.#backlog.isStuck) void worker.terminate();
  }
}

/** The built thread; from the sources, which a thread can't load, the one that was built last. */
const WORKER = new URL(
  import.meta.url.includes('/dist/') ? './worker.js' : '../../../dist/program/worker.js',
  import.meta.url,
);
