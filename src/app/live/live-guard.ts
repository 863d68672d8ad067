import type { Line } from '../../core/line/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import { Histogram } from './histogram.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import type { DrainCause, SessionEvent } from './session-event.js';

/** Counters since the session began. */
export interface GuardCounters {
  drains: number;
  /** Faults of this program caught on the note path. */
  faults: number;
  /** Times an outlet was silenced and set up again because its port refused a message. */
  mends: number;
}

/** What the guard needs of its session. */
export interface GuardEdges {
  readonly line: Line;
  readonly time: ForwardTime;
  /** Real time in milliseconds, to measure how long a message takes. */
  readonly clock: () => number;
  /** The present inputs and outlets: other settings make others. */
  readonly inputs: () => readonly LiveInput[];
  readonly outlets: () => readonly LiveOutlet[];
  /** An outlet's port takes no message, not even one that silences: it is to be closed. */
  readonly giveUp: (outlet: LiveOutlet, refusal: LeewayError) => void;
  /** A message has been handled; something may be due now. */
  readonly received: () => void;
  readonly tell: (event: SessionEvent) => void;
}

/**
 * Leaves no note hanging after a fault. It catches what is thrown, sets an outlet up again whose port refused a message,
 * and can silence everything at once. No call of it throws.
 */
export class LiveGuard {
  readonly counters: GuardCounters = { drains: 0, faults: 0, mends: 0 };
  /** From the driver's callback to the last send, in microseconds. */
  readonly latency = new Histogram();
  readonly #edges: GuardEdges;
  #isReceiving = false;
  /** Input that arrived during a send. The fuse limits its length. */
  readonly #echoes: { readonly input: LiveInput; readonly bytes: Uint8Array }[] = [];

  constructor(edges: GuardEdges) {
    this.#edges = edges;
  }

  /** From the driver's callback: everything from here to the driver's send is synchronous. */
  receive(input: LiveInput, bytes: Uint8Array): void {
    if (this.#isReceiving) {
      // Our own message came back before the send returned: it is handled after this one.
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

  /** Runs something. What is thrown is counted, and everything is silenced, since the state is in doubt. */
  run(act: () => void): void {
    try {
      act();
    } catch (error) {
      this.counters.faults++;
      this.#silenceAfter(error);
    }
  }

  drainAll(cause: DrainCause): void {
    const { line, time, inputs, outlets, tell } = this.#edges;
    const atMs = time.now();
    this.counters.drains++;
    this.run(() => line.silenceAll(atMs));
    for (const input of inputs()) input.forgetPedals();
    for (const outlet of outlets()) this.run(() => outlet.drain(atMs));
    this.settle();
    tell({ kind: 'drained', cause });
  }

  /** After every burst: sets up outlets whose port refused something, and sends what waits for a slow cable. */
  settle(): void {
    for (const outlet of this.#edges.outlets()) {
      if (outlet.sink.error !== undefined) this.#mend(outlet);
      outlet.cable.flush(this.#edges.time.latestMs);
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

  /** The receiver's state is in doubt: silences it and sets it up again; if that is refused too, closes the port. */
  #mend(outlet: LiveOutlet): void {
    const { tell, giveUp } = this.#edges;
    const { error, link } = outlet.sink;
    this.counters.mends++;
    if (link !== undefined) outlet.cable.connect(link);
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
      // Even that failed: the counter shows it.
      this.counters.faults++;
    }
  }
}

/**
 * A clock that never goes back: if its source does, it stops until that has caught up.
 *
 * @example
 * const readings = [5, 3, 6];
 * const time = new ForwardTime(() => readings.shift());
 * [time.now(), time.now(), time.now()]  // [5, 5, 6]
 */
export class ForwardTime {
  readonly #read: () => number;
  /** The latest time read, in milliseconds; 0 before any. */
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
