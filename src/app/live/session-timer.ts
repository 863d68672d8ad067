import type { Clock, Ticker } from '../../io/clock/index.js';
import { type LiveSession, LOOK_MS } from './live-session.js';

/** How often the session is called while something is to be done in time, in milliseconds. */
const TICK_MS = 10;

/**
 * Gives a session its time: looks at the ports every quarter of a second, and a steady tick while it needs one.
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

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** The session asks for ticks. */
  readonly wake = (): void => {
    this.#ticking ??= this.#clock.every(TICK_MS, () => this.#tick());
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
    if (session?.needsTick) return;
    this.#ticking?.stop();
    this.#ticking = undefined;
  }
}
