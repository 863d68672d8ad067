import { randomUUID } from 'node:crypto';
import { Worker } from 'node:worker_threads';
import type { PieceFact } from '../../core/feed/index.js';
import type { KeptSettings } from '../../core/tuner/index.js';
import { LeewayError } from '../leeway-error.js';
import { Journal } from './journal.js';
import type { KeptFeed } from './kept-feed.js';
import type { FromServer, ServerStart, ToServer } from './protocol.js';
import type { SessionFacts } from './session-facts.js';

/** Port tried first, as in 81/80, the comma that pure chords drift by; and how many after it. */
export const STOCK_PORT = 8180;
const MORE_PORTS = 20;
/** Messages kept until the server has worked them off. At some 40 a second beside the notes that is over two minutes. */
const MOST_UNDONE = 20_000;
/** Messages that may be on their way to a thread that says nothing, before it counts as stuck. */
const MOST_UNHEARD = 5000;
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
  /** What an earlier server had come to, and what it was told since. */
  #kept: KeptFeed | undefined;
  #undone: ToServer[] = [];
  /** Messages this server was sent, and those it has worked off. */
  #sent = 0;
  #heard = 0;
  /** More was told than is kept: what a new server begins with is the present settings, and silence. */
  #hasGap = false;
  #settings: KeptSettings;
  #facts: SessionFacts;
  /** Messages this thread had worked off when `undone` began. */
  #doneBefore = 0;
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
    this.#settings = wish.settings;
    this.#facts = wish.facts;
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
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#kept = undefined;
      this.#undone = [];
    }
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
      settings: this.#settings,
      facts: this.#facts,
      kept: this.#kept,
    };
    const worker = new Worker(WORKER, { workerData: start });
    this.#worker = worker;
    this.#startedMs = performance.now();
    this.#sent = this.#undone.length;
    this.#heard = 0;
    this.#doneBefore = 0;
    for (const message of this.#undone) worker.postMessage(message);
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
          refusal = toError(message, address, start.port);
          fault = refusal.message;
          void worker.terminate();
          break;
        case 'done':
          this.#settle(message.count, message.kept);
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
        reject(refusal ?? toError({ code: '', message: fault }, address, start.port));
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
    if (message.kind === 'retold') this.#settings = message.settings;
    if (message.kind === 'retold' || message.kind === 'facts') this.#facts = message.facts;
    if (this.#undone.length < MOST_UNDONE) this.#undone.push(message);
    else this.#hasGap = true;
    const worker = this.#worker;
    if (worker === undefined) return;
    worker.postMessage(message);
    if (++this.#sent - this.#heard > MOST_UNHEARD) void worker.terminate();
  }

  #settle(count: number, kept: KeptFeed | undefined): void {
    this.#heard = count;
    // After a gap only a state that has everything in it is of use.
    if (kept === undefined || (this.#hasGap && count !== this.#sent)) return;
    this.#kept = kept;
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#undone = [];
      this.#doneBefore = count;
      return;
    }
    this.#undone.splice(0, count - this.#doneBefore);
    this.#doneBefore = count;
  }
}

/** The built thread; from the sources, which a thread can't load, the one that was built last. */
const WORKER = new URL(
  import.meta.url.includes('/dist/') ? './worker.js' : '../../../dist/src/io/server/worker.js',
  import.meta.url,
);

function toError(
  { code, message }: { code: string; message: string },
  address: string,
  port: number,
): LeewayError {
  if (code === 'PAGE_MISSING')
    return new LeewayError({ code, message, advice: 'Run npm run build in the folder of Leeway.' });
  if (code === 'EADDRINUSE')
    return new LeewayError({
      code: 'PAGE_PORT',
      message: `Port ${port} for the page is in use.`,
      advice: 'Choose another with --port, or leave it out and the next free one is taken.',
    });
  if (code === 'EACCES')
    return new LeewayError({
      code: 'PAGE_PORT',
      message: `Port ${port} for the page may not be used.`,
      advice: 'Choose one above 1023 with --port.',
    });
  return new LeewayError({
    code: 'PAGE_ADDRESS',
    message: `The page can't be served at ${address}: ${message}.`,
    advice: 'Give --listen an address of this computer, such as 0.0.0.0 for all of them, or leave it out.',
  });
}
