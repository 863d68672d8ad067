import { LiveParser, type MidiSink } from '../../core/midi/index.js';
import { Actions } from './actions.js';
import type { LiveOutlet } from './live-outlet.js';
import type { ActionRule, InputWish } from './live-settings.js';
import { RateFuse } from './rate-fuse.js';

/** One input: its bytes on their way to being messages, and what is kept of it. */
export class LiveInput {
  readonly wish: InputWish;
  /** Place in the session's inputs: parts are numbered 16 to an input. */
  readonly index: number;
  readonly parser = new LiveParser();
  readonly fuse: RateFuse;
  readonly actions: Actions;
  /** The outlets that play it. */
  readonly outlets: readonly LiveOutlet[];
  /** Channels a message has come on, and whether each is tuned. */
  readonly heard = new Uint8Array(16);
  readonly #tuned = new Uint8Array(16);
  messages = 0;
  /** Messages that went nowhere while the fuse was open. */
  fusedMessages = 0;
  readonly #sink: MidiSink;

  constructor(
    wish: InputWish,
    index: number,
    outlets: readonly LiveOutlet[],
    rules: readonly ActionRule[],
    fuse: number,
    toSink: (input: LiveInput) => MidiSink,
  ) {
    this.wish = wish;
    this.index = index;
    this.outlets = outlets;
    this.fuse = new RateFuse(fuse);
    this.actions = new Actions(rules);
    for (let channel = 0; channel < 16; channel++) {
      this.#tuned[channel] = wish.channels === undefined || wish.channels.includes(channel) ? 1 : 0;
    }
    this.#sink = toSink(this);
  }

  /** Bytes from the driver. */
  feed(bytes: Uint8Array): void {
    this.parser.feed(bytes, this.#sink);
  }

  isTuned(channel: number): boolean {
    return this.#tuned[channel] === 1;
  }

  /** The part a channel of it plays: 16 an input. */
  toPart(channel: number): number {
    return 16 * this.index + channel;
  }
}

/** The channel a part came in on. */
export function toChannel(part: number): number {
  return part & 0x0f;
}

/** The place of its input in the session's inputs. */
export function toInputIndex(part: number): number {
  return part >> 4;
}
