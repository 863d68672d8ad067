import type { RowEvent } from '../line/index.js';
import { LEAVING_MS } from '../tuner/index.js';
import type { TunerReplicas } from './tuner-replicas.js';

/** How long after a strike its drift is recorded: by then it has settled, also where it waits for fingers. */
const SETTLED_MS = LEAVING_MS + 10;

/**
 * Records the drift while a past is played again, as a viewer would have seen it: before each strike, once it has settled,
 * and where everything falls silent.
 */
export class PastRecorder {
  readonly #replicas: TunerReplicas;
  readonly #record: () => void;
  #strikeMs = -Infinity;
  #dueMs = Infinity;
  #wasSilent = true;

  /** @param record takes the drift as it is in the replicas */
  constructor(replicas: TunerReplicas, record: () => void) {
    this.#replicas = replicas;
    this.#record = record;
  }

  /** Call it with each event before the replicas take it. */
  before(event: RowEvent): void {
    const { atMs } = event;
    if (this.#dueMs <= atMs) this.#recordAt(this.#dueMs);
    if (this.#isSilent !== this.#wasSilent) this.#record();
    this.#wasSilent = this.#isSilent;
    if (event.kind !== 'note-on') return;
    if (atMs > this.#strikeMs + SETTLED_MS) this.#recordAt(atMs);
    this.#strikeMs = atMs;
    this.#dueMs = atMs + SETTLED_MS;
  }

  /** The past is over. */
  finish(atMs: number): void {
    if (this.#dueMs <= atMs) this.#recordAt(this.#dueMs);
    this.#recordAt(atMs);
  }

  get #isSilent(): boolean {
    return this.#replicas.sounding.notes.length === 0;
  }

  #recordAt(atMs: number): void {
    this.#dueMs = Infinity;
    this.#replicas.take({ kind: 'time', atMs });
    this.#record();
  }
}
