import type { LeewayError } from '../../io/leeway-error.js';
import type { Line } from '../line.js';
import type { ForwardTime } from './forward-time.js';
import type { LiveOutlet } from './live-outlet.js';
import type { DrainCause, SessionEvent } from './session-event.js';

/** What was counted since the session began. */
export interface SessionCounters {
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
  /** As they are now: other settings make others. */
  readonly outlets: () => readonly LiveOutlet[];
  /** An outlet's port takes no message, not even one that silences: it is to be closed. */
  readonly giveUp: (outlet: LiveOutlet, refusal: LeewayError) => void;
  readonly tell: (event: SessionEvent) => void;
}

/**
 * Sees to it that nothing sounds on that nobody holds, whatever goes wrong: nothing thrown crosses it, what a port
 * refused is mended, and everything can be silenced at once. No call of it throws.
 */
export class LiveGuard {
  readonly counters: SessionCounters = { drains: 0, faults: 0, mends: 0 };
  readonly #edges: GuardEdges;

  constructor(edges: GuardEdges) {
    this.#edges = edges;
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

  /** The receiver's state is in doubt: silences it and sets it up again; if that is refused too, the port is given up. */
  #mend(outlet: LiveOutlet): void {
    const { time, tell, giveUp } = this.#edges;
    const { error, link } = outlet.sink;
    this.counters.mends++;
    if (link !== undefined) outlet.connect(link, time.now());
    if (error === undefined || outlet.sink.error === undefined) {
      tell({ kind: 'mended', port: outlet.wish.port, error });
      return;
    }
    giveUp(outlet, outlet.sink.error);
  }

  #silenceAfter(fault: unknown): void {
    const { line, time, outlets, tell } = this.#edges;
    const atMs = time.now();
    try {
      line.restart();
      for (const outlet of outlets()) outlet.drain(atMs);
      tell({ kind: 'fault', error: fault });
    } catch {
      // Even that failed: the counter tells of it.
      this.counters.faults++;
    }
  }
}
