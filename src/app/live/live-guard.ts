import type { Line } from '../../core/line/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import { Histogram } from './histogram.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import type { DrainCause, SessionEvent } from './session-event.js';

/** What was counted since the session began. */
export interface GuardCounters {
  drains: number;
  /** Faults of our own that were caught on the note path. */
  faults: number;
  /** Times an outlet was silenced and set up again because its port refused a message. */
  mends: number;
}

/** What the guard needs of its session. */
export interface GuardEdges {
  readonly line: Line;
  readonly time: ForwardTime;
  /** Milliseconds, as the world has them: what a message took is measured by it. */
  readonly clock: () => number;
  /** As they are now: other settings make others. */
  readonly outlets: () => readonly LiveOutlet[];
  /** An outlet's port takes no message, not even one that silences: it is to be closed. */
  readonly giveUp: (outlet: LiveOutlet, refusal: LeewayError) => void;
  /** A message has been worked off; something may be due in time now. */
  readonly received: () => void;
  readonly tell: (event: SessionEvent) => void;
}

/**
 * Sees to it that nothing sounds on that nobody holds, whatever goes wrong: nothing thrown crosses it, what a port
 * refused is mended, and everything can be silenced at once. No call of it throws.
 */
export class LiveGuard {
  readonly counters: GuardCounters = { drains: 0, faults: 0, mends: 0 };
  /** From the driver's callback to the last send, in microseconds. */
  readonly latency = new Histogram();
  readonly #edges: GuardEdges;
  #isReceiving = false;
  /** What came in while something was being sent. No longer than the fuse lets it be. */
  readonly #echoes: { readonly input: LiveInput; readonly bytes: Uint8Array }[] = [];

  constructor(edges: GuardEdges) {
    this.#edges = edges;
  }

  /** From the driver's callback: everything from here to the driver's send is synchronous. */
  receive(input: LiveInput, bytes: Uint8Array): void {
    if (this.#isReceiving) {
      // Sent by us, back in before the send returned: not before this message is done.
      this.#echoes.push({ input, bytes });
      return;
    }
    this.#isReceiving = true;
    try {
      this.#receiveOne(input, bytes);
      for (let echo = this.#echoes.shift(); echo !== undefined; echo = this.#echoes.shift()) {
        this.#receiveOne(echo.input, echo.bytes);
      }
    } finally {
      this.#isReceiving = false;
    }
  }

  /** Does something. What is thrown is counted, and everything is silenced, since the state is in doubt. */
  run(act: () => void): void {
    try {
      act();
    } catch (error) {
      this.counters.faults++;
      this.#silenceAfter(error);
    }
  }

  /** Everything silent, whatever the state. */
  drainAll(cause: DrainCause): void {
    const { line, time, outlets, tell } = this.#edges;
    const atMs = time.now();
    this.counters.drains++;
    this.run(() => line.silenceAll(atMs));
    for (const outlet of outlets()) this.run(() => outlet.drain(atMs));
    this.settle();
    tell({ kind: 'drained', cause });
  }

  /** After every burst: an outlet whose port refused something is mended, and what waits for a slow cable goes on. */
  settle(): void {
    for (const outlet of this.#edges.outlets()) {
      if (outlet.sink.error !== undefined) this.#mend(outlet);
      outlet.flush(this.#edges.time.latestMs);
    }
  }

  #receiveOne(input: LiveInput, bytes: Uint8Array): void {
    const { clock, received } = this.#edges;
    const fromMs = clock();
    this.run(() => input.receive(bytes));
    this.settle();
    this.latency.add(Math.max(0, 1000 * (clock() - fromMs)));
    received();
  }

  /** The receiver's state is in doubt: silences it and sets it up again; if that is refused too, the port is given up. */
  #mend(outlet: LiveOutlet): void {
    const { time, tell, giveUp } = this.#edges;
    const { error, link } = outlet.sink;
    this.counters.mends++;
    if (link !== undefined) outlet.connect(link, time.now());
    if (error === undefined || outlet.sink.error === undefined) {
      tell({ kind: 'mended', port: outlet.config.port, error });
      return;
    }
    giveUp(outlet, outlet.sink.error);
  }

  #silenceAfter(fault: unknown): void {
    const { line, time, outlets, tell } = this.#edges;
    const atMs = time.now();
    try {
      line.take({ kind: 'restart', atMs });
      for (const outlet of outlets()) outlet.drain(atMs);
      tell({ kind: 'fault', error: fault });
    } catch {
      // Even that failed: the counter tells of it.
      this.counters.faults++;
    }
  }
}

/**
 * A clock that never goes back: should the one beneath do so, time stands still until that has caught up.
 *
 * @example
 * const readings = [5, 3, 6];
 * const time = new ForwardTime(() => readings.shift());
 * [time.now(), time.now(), time.now()]  // [5, 5, 6]
 */
export class ForwardTime {
  readonly #read: () => number;
  /** What was read last, in milliseconds; 0 before anything was. */
  latestMs = 0;

  /** @param read milliseconds, with fractions, from any start */
  constructor(read: () => number) {
    this.#read = read;
  }

  /** The time, in milliseconds. Hot path. */
  now(): number {
    const now = this.#read();
    if (now > this.latestMs) this.latestMs = now;
    return this.latestMs;
  }
}
