import type { Strategy, Tuner, TunerSettings } from '../tuner/index.js';
import { toPresentTuner } from './present-tuner.js';
import type { SessionFacts, SessionMessage } from './session-messages.js';
import type { MonitorSnapshot, ReplayStart } from './snapshot.js';

/**
 * Most messages stored until the server has processed them. At some 40 a second beside the notes that is over two
 * minutes.
 */
const MOST_UNDONE = 20_000;
/** Most messages on their way to a silent server, before it counts as stuck. */
const MOST_UNHEARD = 5000;

/** In the place of messages that don't count any more. */
const FORGOTTEN: SessionMessage = { kind: 'rows', rows: new Float64Array(0) };

/**
 * Lets a new server continue where another one died: the state of that one, and every message since. If more messages
 * come than are stored, a new server starts with the present settings, and silence.
 *
 * @example
 * const buffer = new ReplayBuffer(DEFAULT_SETTINGS, session);
 * buffer.add({ kind: 'playing', playing: null });  // and post it
 * buffer.undone.length                       // 1: a new server is sent these at once
 */
export class ReplayBuffer {
  /** Those of now, and those when `undone` began without a snapshot. */
  #settings: TunerSettings;
  #facts: SessionFacts;
  #start: Pick<ReplayStart, 'settings' | 'facts'>;
  #snapshot: MonitorSnapshot | undefined;
  #undone: SessionMessage[] = [];
  readonly #most: number;
  /** More messages came than are stored. */
  #hasGap = false;
  /** A server knows everything since the session began: none was started with a gap. */
  #isWhole = true;
  /** Messages sent to the present server, those it has processed, and those processed when `undone` began. */
  #sent = 0;
  #done = 0;
  #doneBefore = 0;

  /**
   * @param most messages that are stored
   */
  constructor(settings: TunerSettings, facts: SessionFacts, most = MOST_UNDONE) {
    this.#settings = settings;
    this.#facts = facts;
    this.#start = { settings, facts };
    this.#most = most;
  }

  /** Messages no server is known to have processed, in order. */
  get undone(): readonly SessionMessage[] {
    return this.#undone;
  }

  /** Whether the present server has left so much unread that it will hardly read again. */
  get isStuck(): boolean {
    return this.#sent - this.#done > MOST_UNHEARD;
  }

  /** Adds a message; it goes to the server, if there is one. */
  add(message: SessionMessage): void {
    if ('settings' in message) this.#settings = message.settings;
    if ('facts' in message) this.#facts = message.facts;
    if (this.#undone.length < this.#most) {
      if (message.kind === 'rebuilt') this.#forgetMusic();
      this.#undone.push(message);
    } else this.#hasGap = true;
    this.#sent++;
  }

  /** All that was played before doesn't count any more: it isn't stored. */
  #forgetMusic(): void {
    this.#isWhole = true;
    this.#undone = this.#undone.map((one) =>
      one.kind === 'rows' || one.kind === 'rebuilt' ? FORGOTTEN : one,
    );
  }

  /** Another server starts: with the returned state, and then with all undone messages, which it is sent at once. */
  begin(): ReplayStart {
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#isWhole = false;
      this.#snapshot = undefined;
      this.#undone = [];
      this.#start = { settings: this.#settings, facts: this.#facts };
    }
    this.#sent = this.#undone.length;
    this.#done = 0;
    this.#doneBefore = 0;
    return { ...this.#start, snapshot: this.#snapshot };
  }

  /** The tuner of a strategy at this moment. `undefined` where messages are missing. */
  toTuner(strategy: Strategy): Tuner | undefined {
    if (!this.#isWhole || this.#hasGap) return undefined;
    return toPresentTuner({ ...this.#start, snapshot: this.#snapshot }, this.#undone, strategy);
  }

  /** The server has processed this many of its messages. @param snapshot its state after them, now and then */
  settle(count: number, snapshot: MonitorSnapshot | undefined): void {
    this.#done = count;
    // After a gap only a complete state is of use.
    if (snapshot === undefined || (this.#hasGap && count !== this.#sent)) return;
    this.#snapshot = snapshot;
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#undone = [];
    } else this.#undone.splice(0, count - this.#doneBefore);
    this.#doneBefore = count;
  }
}
