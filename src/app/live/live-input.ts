import {
  BEND_CENTRE,
  CC,
  CONTROL_CHANGE,
  HOLDING_PEDALS,
  LiveParser,
  type MidiSink,
  PITCH_BEND,
  toLsb,
  toMsb,
} from '../../core/midi/index.js';
import type { Line } from '../line.js';
import { Actions } from './actions.js';
import type { LiveOutlet } from './live-outlet.js';
import type { ActionRule, InputWish } from './live-settings.js';
import { PassedNotes } from './passed-notes.js';
import { RateFuse } from './rate-fuse.js';

/** How far a wheel reaches that nobody said anything of, in semitones. MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity */
const USUAL_BEND_RANGE = 2;

/** RPN 0 as a player's keyboard would send it, and then no parameter. */
function toBendRangeMessages(semitones: number): readonly (readonly [controller: number, value: number])[] {
  return [
    [CC.rpnMsb, 0],
    [CC.rpnLsb, 0],
    [CC.dataEntry, semitones],
    [CC.dataEntryLsb, 0],
    [CC.rpnMsb, 127],
    [CC.rpnLsb, 127],
  ];
}

/** One input: its bytes on their way to being messages, and what is kept of it. */
export class LiveInput {
  readonly wish: InputWish;
  /** Place in the session's inputs: parts are numbered 16 to an input. */
  readonly index: number;
  readonly parser = new LiveParser();
  readonly fuse: RateFuse;
  readonly actions: Actions;
  /** The outlets that play it, and those that what isn't tuned goes to. */
  readonly outlets: readonly LiveOutlet[];
  readonly #passing: readonly LiveOutlet[];
  /** Channels a message has come on, and whether each is tuned. */
  readonly heard = new Uint8Array(16);
  readonly #tuned = new Uint8Array(16);
  /** What of it is held down on channels that aren't tuned. */
  readonly #passed = new PassedNotes();
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
    passing: readonly LiveOutlet[] = outlets,
  ) {
    this.wish = wish;
    this.index = index;
    this.outlets = outlets;
    this.#passing = passing;
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

  /** A message of a channel that isn't tuned goes out as it came. */
  pass(status: number, data1: number, data2: number): void {
    this.#passed.note(status, data1, data2);
    for (const outlet of this.#passing) outlet.pass(status, data1, data2);
  }

  /** A channel is about to be heard: the outlets are told how far its wheel reaches, if it is the first time. */
  introduce(channel: number, atMs: number): void {
    if (this.heard[channel] === 1) return;
    this.heard[channel] = 1;
    const { bendRange } = this.wish;
    if (bendRange === USUAL_BEND_RANGE) return;
    const part = this.toPart(channel);
    for (const { outlet } of this.outlets) {
      for (const [controller, value] of toBendRangeMessages(bendRange)) {
        outlet.control(atMs, part, CONTROL_CHANGE | channel, controller, value);
      }
    }
  }

  /** It is gone, with keys and pedals down perhaps: nothing of it may sound on. */
  letGo(line: Line, atMs: number): void {
    this.parser.reset();
    this.#passed.letGo((status, data1, data2) => {
      for (const outlet of this.#passing) outlet.pass(status, data1, data2);
    });
    for (let channel = 0; channel < 16; channel++) {
      if (this.heard[channel] === 0) continue;
      const part = this.toPart(channel);
      for (const pedal of HOLDING_PEDALS) line.control(atMs, part, CONTROL_CHANGE | channel, pedal, 0);
      line.silence(atMs, part);
      line.control(atMs, part, PITCH_BEND | channel, toLsb(BEND_CENTRE), toMsb(BEND_CENTRE));
    }
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
