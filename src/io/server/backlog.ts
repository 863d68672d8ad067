import type { KeptSettings } from '../../core/tuner/index.js';
import type { KeptFeed } from './kept-feed.js';
import type { ServerStart, ToServer } from './protocol.js';
import type { SessionFacts } from './session-facts.js';

/** Messages kept until the server has worked them off. At some 40 a second beside the notes that is over two minutes. */
const MOST_UNDONE = 20_000;
/** Messages that may be on their way to a server that says nothing, before it counts as stuck. */
const MOST_UNHEARD = 5000;

/**
 * What a server that takes over needs to go on where another one died: what that had come to, and everything told since.
 *
 * More than is kept may be told; then a new server begins with the present settings, and silence.
 *
 * @example
 * const backlog = new Backlog(settings, facts);
 * backlog.add(message);      // and post it
 * backlog.settle(1, kept);   // the server has worked off one, and come to this
 * backlog.begin();           // another server begins with that, and is told `backlog.undone` at once
 */
export class Backlog {
  #settings: KeptSettings;
  #facts: SessionFacts;
  /** What a server had come to, and what was told since. */
  #kept: KeptFeed | undefined;
  #undone: ToServer[] = [];
  readonly #most: number;
  /** More was told than is kept. */
  #hasGap = false;
  /** Messages the present server was sent, those it has worked off, and those it had when `undone` began. */
  #sent = 0;
  #done = 0;
  #doneBefore = 0;

  /** @param most messages that are kept */
  constructor(settings: KeptSettings, facts: SessionFacts, most = MOST_UNDONE) {
    this.#settings = settings;
    this.#facts = facts;
    this.#most = most;
  }

  /** What no server is known to have come to anything with, in order. */
  get undone(): readonly ToServer[] {
    return this.#undone;
  }

  /** Whether the present server has left so much unread that it will hardly read again. */
  get isStuck(): boolean {
    return this.#sent - this.#done > MOST_UNHEARD;
  }

  /** Something is told; it goes to the server, if there is one. */
  add(message: ToServer): void {
    if (message.kind === 'retold') this.#settings = message.settings;
    if (message.kind === 'retold' || message.kind === 'facts') this.#facts = message.facts;
    if (this.#undone.length < this.#most) this.#undone.push(message);
    else this.#hasGap = true;
    this.#sent++;
  }

  /** Another server begins: with what is returned, and then with all that is undone, which it is told at once. */
  begin(): Pick<ServerStart, 'settings' | 'facts' | 'kept'> {
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#kept = undefined;
      this.#undone = [];
    }
    this.#sent = this.#undone.length;
    this.#done = 0;
    this.#doneBefore = 0;
    return { settings: this.#settings, facts: this.#facts, kept: this.#kept };
  }

  /**
   * The server has worked off so many of the messages it was sent.
   * @param kept what it has come to with them, now and then
   */
  settle(count: number, kept: KeptFeed | undefined): void {
    this.#done = count;
    // After a gap only a state that has everything in it is of use.
    if (kept === undefined || (this.#hasGap && count !== this.#sent)) return;
    this.#kept = kept;
    if (this.#hasGap) {
      this.#hasGap = false;
      this.#undone = [];
    } else this.#undone.splice(0, count - this.#doneBefore);
    this.#doneBefore = count;
  }
}
