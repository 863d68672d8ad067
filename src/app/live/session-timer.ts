import type { Clock, Ticker } from '../../io/clock/index.js';
import { type LiveSession, LOOK_MS, TICK_MS } from './live-session.js';

/**
 * Drives a session: checks the ports every quarter of a second, and ticks steadily while it needs that.
 *
 * @example
 * const owner = new SessionTimer(clock);
 * const session = new LiveSession(settings, { ...edges, now: clock.now, wake: owner.wake });
 * owner.start(session);
 * owner.stop();
 */
export class SessionTimer {
  readonly #clock: Clock;
  #session: LiveSession | undefined;
  #looking: Ticker | undefined;
  #ticking: Ticker | undefined;
  #tickMs = 0;

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** Starts ticks, or quicker ones, on the session's request. */
  readonly wake = (): void => {
    this.#ticking?.stop();
    this.#startTicking();
  };

  start(session: LiveSession): void {
    this.#session = session;
    session.start();
    this.#looking = this.#clock.every(LOOK_MS, () => session.look());
  }

  /** Ends the session and its timers. Does nothing the second time. */
  stop(): void {
    this.#looking?.stop();
    this.#ticking?.stop();
    this.#looking = undefined;
    this.#ticking = undefined;
    this.#session?.stop();
    this.#session = undefined;
  }

  #tick(): void {
    const session = this.#session;
    session?.tick();
    const tickMs = session?.tickMs ?? Infinity;
    if (tickMs === this.#tickMs) return;
    this.#ticking?.stop();
    this.#ticking = undefined;
    if (tickMs !== Infinity) this.#startTicking();
  }

  #startTicking(): void {
    this.#tickMs = this.#session?.tickMs ?? TICK_MS;
    this.#ticking = this.#clock.every(this.#tickMs, () => this.#tick());
  }
}
