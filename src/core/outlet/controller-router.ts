import {
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  HOLDING_PEDALS,
  liftsAllKeys,
  type MidiSink,
  PITCH_BEND,
  PROGRAM_CHANGE,
  RESET_TO_ZERO,
  RPN,
  toFourteenBit,
} from '../midi/index.js';
import { ChannelState, UNSET } from './channel-state.js';
import {
  sendController,
  sendParameter,
  sendPressure,
  sendProgram,
  sendSelection,
} from './controller-channel.js';
import { type ControllerChannel, NO_PART } from './member.js';
import { PartInput } from './part-input.js';

/** Data increment and decrement, MIDI 1.0 Detailed Specification 4.2.1, Table III. */
const DATA_INCREMENT = 96;
const DATA_DECREMENT = 97;
/**
 * Routes what the player does beside notes to the channels that carry the part.
 *
 * Live changes pass and are recorded even if they change nothing. Three things stop here. The bend range (RPN 0 from
 * the input) says how far the *input* bends. The MPE configuration (RPN 6) is the outlet's own. Of the channel modes,
 * CC 124..127 pass as All Notes Off, which they include: omni or mono would break one note a channel. A parameter
 * selection passes with its first data, so that parts on a shared channel can't mix up each other's parameters.
 */
export class ControllerRouter {
  readonly #sink: MidiSink;
  readonly #channels: readonly ControllerChannel[];
  readonly #parts: PartInput[] = [];
  /** The one state of all parts, if they share their channels; else each part has one. */
  readonly #common: ChannelState | undefined;
  readonly #pedals = new SharedPedals();
  #firstPart = NO_PART;

  /**
   * @param channels the channels program and controllers may go to
   * @param common   if every channel carries every part: their common state
   */
  constructor(sink: MidiSink, channels: readonly ControllerChannel[], common?: ChannelState) {
    this.#sink = sink;
    this.#channels = channels;
    this.#common = common;
  }

  /** What a part has set so far; empty for a part not heard before. */
  part(part: number): PartInput {
    const known = this.#parts[part];
    if (known !== undefined) return known;
    if (this.#firstPart === NO_PART) this.#firstPart = part;
    const fresh = new PartInput(this.#common ?? new ChannelState());
    this.#parts[part] = fresh;
    return fresh;
  }

  /** The receiver was reset, and with it what the parts have set, except pedals. */
  forget(): void {
    for (const channel of this.#channels) channel.state.forget();
    for (const input of this.#parts) input?.forget();
  }

  /** Passes and records one message of a part, except poly pressure. */
  control(part: number, status: number, data1: number, data2: number): void {
    const input = this.part(part);
    switch (status & 0xf0) {
      case CONTROL_CHANGE:
        this.#controller(part, input, data1, data2);
        break;
      case PROGRAM_CHANGE:
        input.state.setProgram(data1);
        for (const channel of this.#channels) {
          if (this.carries(channel, part)) sendProgram(this.#sink, channel, data1);
        }
        break;
      case CHANNEL_PRESSURE:
        input.state.pressure = data1;
        for (const channel of this.#channels) {
          if (this.carries(channel, part)) sendPressure(this.#sink, channel, data1);
        }
        break;
      case PITCH_BEND:
        input.wheel = toFourteenBit(data1, data2);
        break;
    }
  }

  #controller(part: number, input: PartInput, controller: number, value: number): void {
    switch (controller) {
      case CC.rpnMsb:
      case CC.rpnLsb:
      case CC.nrpnMsb:
      case CC.nrpnLsb:
        input.parameter.take(controller, value);
        if (input.parameter.selected === RPN.none) this.#deselect(part);
        break;
      case CC.dataEntry:
      case CC.dataEntryLsb:
      case DATA_INCREMENT:
      case DATA_DECREMENT:
        this.#dataEntry(part, input, controller, value);
        break;
      case CC.resetControllers:
        this.#reset(part, input);
        break;
      case CC.localControl:
        this.#mode(part, controller, value);
        break;
      case CC.allSoundOff:
        this.#silence(part, controller);
        break;
      default:
        if (liftsAllKeys(controller)) this.#silence(part, CC.allNotesOff);
        else this.#set(part, input, controller, value);
    }
  }

  #set(part: number, input: PartInput, controller: number, value: number): void {
    const shared = this.#toShared(part, controller, value);
    input.state.setController(controller, shared);
    for (const channel of this.#channels) {
      if (this.carries(channel, part)) sendController(this.#sink, channel, controller, shared);
    }
  }

  /** A part's controller as its channels get it: parts that share them share their pedals. */
  #toShared(part: number, controller: number, value: number): number {
    return this.#common === undefined ? value : this.#pedals.set(part, controller, value);
  }

  #dataEntry(part: number, input: PartInput, controller: number, value: number): void {
    const { selected: parameter } = input.parameter;
    if (parameter === RPN.bendRange) input.setBendRange(controller, value);
    if (parameter === RPN.mpeConfiguration && controller === CC.dataEntry) input.resetBendRange();
    if (parameter === RPN.none || parameter === RPN.bendRange || parameter === RPN.mpeConfiguration) return;
    if (controller === CC.dataEntry || controller === CC.dataEntryLsb) {
      input.state.setParameter(parameter, controller, value);
    }
    for (const channel of this.#channels) {
      if (this.carries(channel, part)) sendParameter(this.#sink, channel, parameter, controller, value);
    }
  }

  #deselect(part: number): void {
    for (const channel of this.#channels) {
      if (this.carries(channel, part)) sendSelection(this.#sink, channel, RPN.none);
    }
  }

  /** All Notes Off or All Sound Off; not where other parts play on the same channels, whose notes it would end too. */
  #silence(part: number, controller: number): void {
    const isShared = this.#common !== undefined && this.#parts.filter(Boolean).length > 1;
    // The notes of the part itself get their note-offs in any case.
    if (!isShared) this.#mode(part, controller, 0);
  }

  #mode(part: number, controller: number, value: number): void {
    for (const channel of this.#channels) {
      if (this.carries(channel, part)) {
        this.#sink.channel(CONTROL_CHANGE | channel.channel, controller, value);
      }
    }
  }

  /**
   * Reset All Controllers as single messages: on our channels the message itself would also reset the bend of sounding
   * notes.
   * @see RP-015, Response to Reset All Controllers
   */
  #reset(part: number, input: PartInput): void {
    input.reset();
    for (const controller of RESET_TO_ZERO)
      this.#restore(part, input, controller, this.#toShared(part, controller, 0));
    this.#restore(part, input, CC.expression, 127);
    input.state.pressure = 0;
    for (const channel of this.#channels) {
      if (this.carries(channel, part) && channel.state.pressure !== 0) sendPressure(this.#sink, channel, 0);
    }
    this.#deselect(part);
  }

  /** Sets a controller and its low half, if any, unless it is known to have the value. */
  #restore(part: number, input: PartInput, controller: number, value: number): void {
    input.state.setController(controller, value);
    for (const channel of this.#channels) {
      if (!this.carries(channel, part)) continue;
      const { controllers } = channel.state;
      const low = controller < CC.bankLsb ? controllers[controller + 32] : 0;
      if (controllers[controller] !== value || (low !== 0 && low !== UNSET))
        sendController(this.#sink, channel, controller, value);
    }
  }

  /**
   * Whether what a part sets goes to a channel. Channels no note has claimed follow the first part heard, so that a
   * single part reaches every channel at once.
   */
  carries(channel: ControllerChannel, part: number): boolean {
    if (this.#common !== undefined || channel.part === part) return true;
    return channel.part === NO_PART && part === this.#firstPart;
  }
}

/**
 * The pedals of parts that share a channel: a pedal is down while any part's is, so that one player's foot doesn't end
 * another's notes.
 */
export class SharedPedals {
  /** For each pedal the positions of the parts, by part; 0 where it was never moved. */
  readonly #stand: readonly number[][] = HOLDING_PEDALS.map(() => []);

  /**
   * A part sets a controller.
   * @returns the value for the channel: 0..127, the part's own value for all but pedals that hold notes
   * @example
   * const pedals = new SharedPedals();
   * pedals.set(0, CC.sustain, 127);
   * pedals.set(1, CC.sustain, 0)  // 127: part 0's is still down
   */
  set(part: number, controller: number, value: number): number {
    const index = HOLDING_PEDALS.indexOf(controller);
    if (index < 0) return value;
    const stand = this.#stand[index];
    while (stand.length <= part) stand.push(0);
    stand[part] = value;
    return this.get(controller);
  }

  /** What a pedal that holds notes comes to: 0..127. */
  get(controller: number): number {
    return Math.max(0, ...this.#stand[HOLDING_PEDALS.indexOf(controller)]);
  }

  /** Every pedal is up. */
  clear(): void {
    for (const stand of this.#stand) stand.length = 0;
  }
}
