import {
  BEND_CENTRE,
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  liftsAllKeys,
  type MidiSink,
  ParameterChoice,
  PITCH_BEND,
  PROGRAM_CHANGE,
  RESET_TO_ZERO,
  RPN,
  toFourteenBit,
  toLsb,
  toMsb,
} from '../midi/index.js';
import { ChannelState } from './channel-state.js';
import { bringTo, liftPedals, sendSelection } from './controller-channel.js';
import { SharedPedals } from './controller-router.js';
import { type ControllerChannel, createControllerChannel } from './member.js';

/** Marks an unknown wheel position. */
const ANYWHERE = -1;

/**
 * A channel on which all that a player sets passes unchanged. It is recorded, and sent again where a receiver may have
 * lost it: all of it after a reopen, pedals and wheel after a drain.
 */
export class PlainChannel {
  readonly channel: number;
  readonly #sink: MidiSink;
  readonly #channel: ControllerChannel;
  readonly #set = new ChannelState();
  readonly #parameter = new ParameterChoice();
  readonly #parts = new Set<number>();
  readonly #pedals = new SharedPedals();
  #wheel = BEND_CENTRE;
  #sentWheel = BEND_CENTRE;
  #isReady = true;

  constructor(sink: MidiSink, channel: number) {
    this.channel = channel;
    this.#sink = sink;
    this.#channel = createControllerChannel(channel);
  }

  join(part: number): void {
    this.#parts.add(part);
  }

  /**
   * Passes a channel message of a part, except notes and their pressure, on this channel. Where several parts play on
   * it, a pedal is down while any part's is, and none of them ends the notes of the others: its own get their note-offs
   * in any case.
   */
  pass(part: number, status: number, data1: number, data2: number): void {
    const type = status & 0xf0;
    if (type === CONTROL_CHANGE) {
      this.#control(part, data1, data2);
      return;
    }
    this.#sink.channel(type | this.channel, data1, data2);
    const states = [this.#set, this.#channel.state];
    switch (type) {
      case PROGRAM_CHANGE:
        for (const state of states) state.setProgram(data1);
        break;
      case CHANNEL_PRESSURE:
        for (const state of states) state.pressure = data1;
        break;
      case PITCH_BEND:
        this.#wheel = toFourteenBit(data1, data2);
        this.#sentWheel = this.#wheel;
        break;
    }
  }

  /** Sends whatever the receiver may have lost. Call it before each note; usually it sends nothing. */
  prepare(): void {
    if (this.#isReady) return;
    this.#isReady = true;
    bringTo(this.#sink, this.#channel, this.#set);
    sendSelection(this.#sink, this.#channel, this.#parameter.selected);
    if (this.#wheel !== this.#sentWheel) this.#bend(this.#wheel);
  }

  /** The receiver may be another one: nothing is known. */
  doubt(): void {
    this.#channel.state.doubt();
    this.#sentWheel = ANYWHERE;
    this.#isReady = false;
  }

  /** The receiver was reset, and with it all that was set but pedals. */
  forget(): void {
    this.#channel.state.forget();
    this.#set.forgetAllButPedals();
    this.#parameter.clear();
    this.#wheel = BEND_CENTRE;
    this.#sentWheel = BEND_CENTRE;
    this.#isReady = false;
  }

  /** Pedals up, All Notes Off, All Sound Off, the wheel centred, in any state. */
  silence(): void {
    liftPedals(this.#sink, this.#channel);
    this.#sink.channel(CONTROL_CHANGE | this.channel, CC.allNotesOff, 0);
    this.#sink.channel(CONTROL_CHANGE | this.channel, CC.allSoundOff, 0);
    this.#bend(BEND_CENTRE);
    this.#isReady = false;
  }

  #control(part: number, controller: number, value: number): void {
    const isEnd = controller === CC.allSoundOff || liftsAllKeys(controller);
    if (isEnd && this.#parts.size > 1) return;
    const isData = controller === CC.dataEntry || controller === CC.dataEntryLsb;
    // The receiver has no zone: each part has one channel of it.
    if (isData && this.#parameter.selected === RPN.mpeConfiguration) return;
    // Data for a parameter selected before: the receiver must still have it selected.
    if (isData) this.prepare();
    const shared = this.#pedals.set(part, controller, value);
    this.#sink.channel(CONTROL_CHANGE | this.channel, controller, shared);
    const states = [this.#set, this.#channel.state];
    switch (controller) {
      case CC.rpnMsb:
      case CC.rpnLsb:
      case CC.nrpnMsb:
      case CC.nrpnLsb:
        this.#parameter.take(controller, value);
        this.#channel.state.selected = this.#parameter.selected;
        break;
      case CC.dataEntry:
      case CC.dataEntryLsb:
        if (this.#parameter.selected === RPN.none) break;
        for (const state of states) state.setParameter(this.#parameter.selected, controller, value);
        break;
      case CC.resetControllers:
        this.#reset(part);
        break;
      default:
        if (controller < CC.allSoundOff) for (const state of states) state.setController(controller, shared);
    }
  }

  /** @see RP-015, Response to Reset All Controllers */
  #reset(part: number): void {
    for (const controller of RESET_TO_ZERO) {
      const shared = this.#pedals.set(part, controller, 0);
      this.#channel.state.setController(controller, 0);
      this.#set.setController(controller, shared);
      // Another part's pedal is still down.
      if (shared > 0) this.#isReady = false;
    }
    for (const state of [this.#set, this.#channel.state]) {
      state.setController(CC.expression, 127);
      state.pressure = 0;
    }
    this.#parameter.clear();
    this.#channel.state.selected = RPN.none;
    this.#wheel = BEND_CENTRE;
    this.#sentWheel = BEND_CENTRE;
    this.prepare();
  }

  #bend(wheel: number): void {
    this.#sink.channel(PITCH_BEND | this.channel, toLsb(wheel), toMsb(wheel));
    this.#sentWheel = wheel;
  }
}

/**
 * Silences a channel that was never used: the sustain pedal up, All Notes Off, All Sound Off. Three messages, since a
 * slow cable has to carry sixteen times as many.
 *
 * @param channel 0..15
 * @example silenceBare(sink, 2);  // sink.sent === ['B2 40 00', 'B2 7B 00', 'B2 78 00']
 */
export function silenceBare(sink: MidiSink, channel: number): void {
  for (const controller of [CC.sustain, CC.allNotesOff, CC.allSoundOff])
    sink.channel(CONTROL_CHANGE | channel, controller, 0);
}
