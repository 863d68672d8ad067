import { type EntryFact, type Frame, formatMessage, LIMITS, toPauseMs } from '../../core/protocol/index.js';
import type { Published, RelayConnection } from './relay-connection.js';

/**
 * Frames a second to a relay. To ten thousand phones a packed frame of 1.1 kB five times a second, and a snapshot of 9 kB
 * every ten seconds, take 520 Mbit/s, which one gigabit link carries. After a rest a strike is published at once.
 */
export const RELAY_FRAMES_PER_SECOND = 5;
const FRAME_MS = 1000 / RELAY_FRAMES_PER_SECOND;
/** Between snapshots: what a late onlooker's curves may lack. Everybody gets them, so that nothing missed stays missing. */
const SNAPSHOT_MS = 10_000;
/** Changed settings are told by a snapshot, not before this time after the last one. */
const SETTINGS_MS = 2000;

/** What a publisher needs of its server. */
export interface RelayContext {
  /** The snapshot of now, for a viewer without control. */
  readonly snapshot: () => string;
  /** Called once when the relay is lost, with why, and once when it is back. */
  readonly tell: (lost: string | undefined) => void;
}

/** The time, and a call after a pause. */
export interface RelayClock {
  readonly now: () => number;
  readonly pause: (run: () => void, ms: number) => NodeJS.Timeout;
}

const REAL_CLOCK: RelayClock = { now: () => performance.now(), pause: setTimeout };

/**
 * Publishes frames and snapshots to a relay, one at a time: the next goes when the relay has the one before. Meanwhile
 * only the newest frame waits, with the ledger entries of those it replaces. After a failure it tries again with growing
 * pauses, and begins with a snapshot, since the relay may be a new one.
 */
export class RelayPublisher {
  readonly counters = { sentFrames: 0, sentSnapshots: 0, replacedFrames: 0, failures: 0 };
  readonly #connection: Pick<RelayConnection, 'post' | 'close'>;
  readonly #context: RelayContext;
  readonly #clock: RelayClock;
  #waiting: Frame | undefined;
  #entries: readonly EntryFact[] = [];
  #isBusy = false;
  #isClosed = false;
  #isLost = false;
  /** Failures in a row. */
  #failures = 0;
  #frameDueMs = -Infinity;
  #snapshotMs = -Infinity;
  #hasNewSettings = false;
  #retryMs = -Infinity;
  #timer: NodeJS.Timeout | undefined;

  constructor(
    connection: Pick<RelayConnection, 'post' | 'close'>,
    context: RelayContext,
    clock: RelayClock = REAL_CLOCK,
  ) {
    this.#connection = connection;
    this.#context = context;
    this.#clock = clock;
  }

  /** Publishes the first snapshot. */
  start(): void {
    this.#go();
  }

  /** Takes a frame: published when its turn comes, unless a newer one replaces it. */
  take(frame: Frame): void {
    if (this.#waiting !== undefined) this.counters.replacedFrames++;
    this.#waiting = frame;
    this.#entries = [...this.#entries, ...frame.entries].slice(-LIMITS.entries);
    this.#go();
  }

  /** The settings have changed: the next snapshot comes soon. */
  refresh(): void {
    this.#hasNewSettings = true;
    this.#go();
  }

  /** Publishes nothing more. */
  close(): void {
    this.#isClosed = true;
    clearTimeout(this.#timer);
    this.#connection.close();
  }

  /** Publishes what is due, or waits until something is. */
  #go(): void {
    if (this.#isBusy || this.#isClosed) return;
    clearTimeout(this.#timer);
    const frameDueMs = this.#waiting === undefined ? Infinity : this.#frameDueMs;
    const snapshotDueMs = this.#snapshotMs + (this.#hasNewSettings ? SETTINGS_MS : SNAPSHOT_MS);
    const dueMs = Math.max(this.#retryMs, Math.min(snapshotDueMs, frameDueMs));
    const nowMs = this.#clock.now();
    if (dueMs > nowMs) this.#timer = this.#clock.pause(() => this.#go(), dueMs - nowMs);
    else void this.#publish(snapshotDueMs <= nowMs ? 'snapshot' : 'frame', nowMs);
  }

  async #publish(what: Published, nowMs: number): Promise<void> {
    this.#isBusy = true;
    const text = what === 'frame' ? this.#toFrameText() : this.#context.snapshot();
    // A snapshot is newer than a waiting frame and holds its entries.
    this.#waiting = undefined;
    this.#entries = [];
    if (what === 'snapshot') this.#hasNewSettings = false;
    const problem = await this.#connection.post(what, text);
    this.#isBusy = false;
    if (this.#isClosed) return;
    if (problem === undefined) this.#succeed(what, nowMs);
    else this.#fail(problem);
    this.#go();
  }

  #toFrameText(): string {
    return formatMessage({ ...this.#waiting!, entries: [...this.#entries] });
  }

  #succeed(what: Published, nowMs: number): void {
    this.#failures = 0;
    if (what === 'frame') {
      this.counters.sentFrames++;
      this.#frameDueMs = nowMs + FRAME_MS;
    } else {
      this.counters.sentSnapshots++;
      this.#snapshotMs = nowMs;
    }
    if (!this.#isLost) return;
    this.#isLost = false;
    this.#context.tell(undefined);
  }

  #fail(problem: string): void {
    this.counters.failures++;
    this.#retryMs = this.#clock.now() + toPauseMs(this.#failures++, 0);
    this.#snapshotMs = -Infinity;
    if (this.#isLost) return;
    this.#isLost = true;
    this.#context.tell(problem);
  }
}
