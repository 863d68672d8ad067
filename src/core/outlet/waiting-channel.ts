import {
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  type MidiSink,
  PITCH_BEND,
  POLY_PRESSURE,
} from '../midi/index.js';

/** Stands for "nothing waits here". */
const NONE = -1;
/** Places of what can wait: controllers 0..119 by their numbers, then these, then the pressure of each key. */
const PRESSURE = 120;
const BEND = 121;
const KEY_PRESSURE = 128;
const PLACES = 256;

/** Controllers that act at once, or only beside the message after them: banks, parameters, switches, prefixes. */
const NEVER_WAIT: ReadonlySet<number> = new Set([
  CC.bank,
  CC.bankLsb,
  CC.dataEntry,
  CC.dataEntryLsb,
  CC.sustain,
  CC.portamento,
  CC.sostenuto,
  CC.soft,
  CC.legato,
  CC.hold2,
  84, // Portamento Control: says where the next note slides from
  88, // High Resolution Velocity Prefix, CA-031: belongs to the next note
  96, // Data Increment
  97, // Data Decrement
  CC.nrpnLsb,
  CC.nrpnMsb,
  CC.rpnLsb,
  CC.rpnMsb,
]);

/**
 * The values of one channel that wait for a slow cable: bend, pressure and controllers, only the newest of each.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Control Change: the low half of a 14-bit controller follows its high half,
 *   which sets it to 0
 * @example
 * const waiting = new WaitingChannel(0);
 * waiting.take(0xb0, 1, 30);  // true: it waits
 * waiting.take(0xb0, 1, 31);
 * waiting.superseded          // 1
 * waiting.sendAll(sink);
 * sink.sent                   // ['B0 01 1F']
 */
export class WaitingChannel {
  readonly #channel: number;
  readonly #values = new Int16Array(PLACES).fill(NONE);
  /** The places that wait, those that began to first in front. */
  readonly #order: number[] = [];
  /** Notes whose note-off hasn't passed. */
  keysDown = 0;
  /** Values that were never sent because a later one came first. */
  superseded = 0;

  /** @param channel 0..15 */
  constructor(channel: number) {
    this.#channel = channel;
  }

  /** Whether anything waits. */
  get isWaiting(): boolean {
    return this.#order.length > 0;
  }

  /** Whether a bend waits. */
  get isBendWaiting(): boolean {
    return this.#values[BEND] !== NONE;
  }

  /** Whether anything beside a bend waits. */
  get isValueWaiting(): boolean {
    return this.#order.length > (this.isBendWaiting ? 1 : 0);
  }

  /** Takes a channel message that can wait. @returns whether it can: false for all that must pass at once */
  take(status: number, data1: number, data2: number): boolean {
    switch (status & 0xf0) {
      case PITCH_BEND:
        this.#put(BEND, (data2 << 7) | data1);
        return true;
      case CHANNEL_PRESSURE:
        this.#put(PRESSURE, data1);
        return true;
      case POLY_PRESSURE:
        this.#put(KEY_PRESSURE + data1, data2);
        return true;
      case CONTROL_CHANGE:
        if (data1 >= CC.allSoundOff || NEVER_WAIT.has(data1)) return false;
        // The high half puts the low one to 0, so a low half from before it counts no more.
        if (data1 < CC.bankLsb && this.#remove(data1 + CC.bankLsb)) this.superseded++;
        this.#put(data1, data2);
        return true;
      default:
        return false;
    }
  }

  /** Sends the bend: one must wait. */
  sendBend(sink: MidiSink): void {
    this.#send(BEND, sink);
  }

  /** Sends what has waited longest beside a bend: something must. */
  sendValue(sink: MidiSink): void {
    this.#send(this.#order[this.#order[0] === BEND ? 1 : 0], sink);
  }

  /** Sends everything that waits. */
  sendAll(sink: MidiSink): void {
    while (this.#order.length > 0) this.#send(this.#order[0], sink);
  }

  #put(place: number, value: number): void {
    if (this.#values[place] === NONE) this.#order.push(place);
    else this.superseded++;
    this.#values[place] = value;
  }

  /** @returns whether it waited */
  #remove(place: number): boolean {
    if (this.#values[place] === NONE) return false;
    this.#values[place] = NONE;
    this.#order.splice(this.#order.indexOf(place), 1);
    return true;
  }

  #send(place: number, sink: MidiSink): void {
    const value = this.#values[place];
    this.#remove(place);
    if (place === BEND) sink.channel(PITCH_BEND | this.#channel, value & 0x7f, value >> 7);
    else if (place === PRESSURE) sink.channel(CHANNEL_PRESSURE | this.#channel, value, 0);
    else if (place >= KEY_PRESSURE) sink.channel(POLY_PRESSURE | this.#channel, place - KEY_PRESSURE, value);
    else sink.channel(CONTROL_CHANGE | this.#channel, place, value);
  }
}
