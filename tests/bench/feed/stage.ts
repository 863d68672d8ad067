import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Quantiles } from '../../../src/app/live/histogram.js';
import { LivePage } from '../../../src/app/live/live-page.js';
import { LiveSession } from '../../../src/app/live/live-session.js';
import { DEFAULT_INPUT, DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { SessionTimer } from '../../../src/app/live/session-timer.js';
import { warmUp } from '../../../src/app/live/warm-up.js';
import { CLOCK, watchVitalSigns } from '../../../src/io/clock/index.js';
import type { RelayAddress } from '../../../src/io/server/index.js';
import { NoTime, playStrikes } from '../live/no-time.js';

interface Came {
  readonly messages: number;
  readonly bytes: number;
  readonly closed: number;
}

/** Viewers in a process of their own. */
export class Crowd {
  readonly #child: ChildProcess;
  came: Came = { messages: 0, bytes: 0, closed: 0 };
  readonly ready: Promise<void>;

  constructor(address: string, count: number, manner: 'reading' | 'stalled' = 'reading') {
    const program = fileURLToPath(new URL('./viewers.js', import.meta.url));
    this.#child = fork(program, [address, String(count), manner]);
    this.ready = new Promise((resolve, reject) => {
      this.#child.on('message', (message: { kind: string } & Came) => {
        if (message.kind === 'ready') resolve();
        else this.came = message;
      });
      this.#child.on('exit', (code) => reject(new Error(`The viewers ended with ${code}.`)));
    });
    this.ready.catch(() => {});
  }

  leave(): void {
    this.#child.disconnect();
  }
}

/** A session with its page, at ports that take no time, and music: a strike every 10 ms over ten held notes. */
export class FeedStage {
  readonly #ports = new NoTime();
  readonly #vitals = watchVitalSigns();
  readonly #owner = new SessionTimer(CLOCK);
  readonly #page: LivePage;
  readonly #session: LiveSession;
  #port = 0;

  /** @param relay where it publishes too */
  constructor(relay?: RelayAddress) {
    this.#page = new LivePage(
      {
        address: '127.0.0.1',
        port: undefined,
        token: 'no one may play here',
        folder: fileURLToPath(new URL('../../../page', import.meta.url)),
        version: 'bench',
        pieces: [],
        stories: [],
        relay,
      },
      {
        clock: CLOCK,
        vitals: () => this.#vitals.read(),
        lost: (reason) => console.error(`The server stopped: ${reason}`),
        back: () => {},
        relay: (lost) => console.error(`The relay: ${lost ?? 'back'}`),
      },
    );
    this.#session = new LiveSession(
      { ...DEFAULT_LIVE_SETTINGS, inputs: [DEFAULT_INPUT], outlets: [DEFAULT_OUTLET] },
      {
        ports: this.#ports,
        now: CLOCK.now,
        tell: () => {},
        wake: this.#owner.wake,
        listener: this.#page.listener,
        routing: this.#page.routing,
      },
    );
  }

  async open(): Promise<void> {
    this.#port = await this.#page.open(this.#session);
    this.#owner.start(this.#session);
    warmUp(this.#session.settings, () => performance.now());
    await this.play(5);
  }

  async close(): Promise<void> {
    this.#owner.stop();
    this.#vitals.stop();
    await this.#page.close();
  }

  /** Where the feed is. */
  get address(): string {
    return `ws://127.0.0.1:${this.#port}/feed`;
  }

  async play(seconds: number): Promise<void> {
    await playStrikes(this.#ports, seconds);
  }

  /** The note path over some seconds, in microseconds. */
  async measure(seconds: number): Promise<Quantiles> {
    this.#session.latency.clear();
    await this.play(seconds);
    return this.#session.latency.quantiles();
  }

  /** What the server tells of itself. */
  async readServer(): Promise<{ mib: number; droppedFrames: number }> {
    const answer = await fetch(`http://127.0.0.1:${this.#port}/healthz`);
    const { server } = (await answer.json()) as { server: { memoryBytes: number; droppedFrames: number } };
    return { mib: server.memoryBytes / 2 ** 20, droppedFrames: server.droppedFrames };
  }
}
