import type { TunerSettings } from '../tuner/index.js';
import type { SessionFacts, SessionMessage } from './session-messages.js';
import type { MonitorSnapshot } from './snapshot.js';

/** Messages kept until the server has worked them off. At some 40 a second beside the notes that is over two minutes. */
const MOST_UNDONE = 20_000;
/** Messages that may be on their way to a server that says nothing, before it counts as stuck. */
const MOST_UNHEARD = 5000;

/** What another server begins with. */
export interface ReplayStart {
  readonly settings: TunerSettings;
  readonly facts: SessionFacts;
  readonly snapshot: MonitorSnapshot | undefined;
}

/**
 * What a server that takes over needs to go on where another one died: what that had come to, and everything told since.
 *
 * More than is kept may be told; then a new server begins with the present settings, and silence.
 *
 * @example
 * const buffer = new ReplayBuffer(DEFAULT_SETTINGS, session);
 * buffer.add({ kind: 'bypass', on: true });  // and post it
 * buffer.undone.length                       // 1: a new server is told these at once
 */
export class ReplayBuffer {
  #settings: TunerSettings;
  #facts: SessionFacts;
  /** What a server had come to, and what was told since. */
  #snapshot: MonitorSnapshot | undefined;
  #undone: SessionMessage[] = [];
  readonly #most: number;
  /** More was told than is kept. */
  #hasGap = false;
  /** Messages the present server was sent, those it has worked off, and those it had when `undone` began. */
  #sent = 0;
  #done = 0;
  #doneBefore = 0;

  /** @param most messages that are kept */
  constructor(settings: TunerSettings, facts: SessionFacts, most = MOST_UNDONE) {
    this.#settings = settings;
    this.#facts = facts;
    this.#most = most;
  }

  /** What no server is known to have come to anything with, in order. */
  get undone(): readonly SessionMessage[] {
    return this.#undone;
  }

  /** Whether the present server has left so much unread that it will hardly read again. */
  get isStuck(): boolean {
    return this.#sent - this.#done > MOST_UNHEARD;
  }

  /** Something is told; it goes to the server, if there is one. */
  add(message: SessionMessage): void {
    if (message.kind === 'settings') this.#settings = message.settings;
    if (message.kind === 'settings' || message.kind === 'facts') this.#facts = message.facts;
    if (this.#undone.length < this.#most) this.#undone.push(message);
    else this.#hasGap = true;
    this.#sent++;
  }

  /** Another server begins: with what is returned, and then with all that is undone, which it is told at once. */
  begin(): ReplayStart {
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#snapshot = undefined;
      this.#undone = [];
    }
    this.#sent = this.#undone.length;
    this.#done = 0;
    this.#doneBefore = 0;
    return { settings: this.#settings, facts: this.#facts, snapshot: this.#snapshot };
  }

  /**
   * The server has worked off so many of the messages it was sent.
   * @param snapshot what it has come to with them, now and then
   */
  settle(count: number, snapshot: MonitorSnapshot | undefined): void {
    this.#done = count;
    // After a gap only a state that has everything in it is of use.
    if (snapshot === undefined || (this.#hasGap && count !== this.#sent)) return;
    this.#snapshot = snapshot;
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#undone = [];
    } else this.#undone.splice(0, count - this.#doneBefore);
    this.#doneBefore = count;
  }
}
