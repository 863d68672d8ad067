import {
  BEND_CENTRE,
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  isNoteOff,
  isNoteOn,
  liftsAllKeys,
  NON_REGISTERED,
  NOTE_ON,
  PITCH_BEND,
  POLY_PRESSURE,
  PROGRAM_CHANGE,
  RESET_TO_ZERO,
  RPN,
  toFourteenBit,
} from '../midi/index.js';
import { ChannelTuning, DEFAULT_RANGE_CENTS } from './channel-tuning.js';
import { KeyTunings } from './key-tunings.js';

/** Receives the events of a {@link ChannelBank}, in order, with zones and tunings resolved. */
export interface BankListener {
  noteOn(channel: number, key: number, velocity: number): void;
  noteOff(channel: number, key: number, velocity: number): void;
  /** The sounding pitch of a channel has changed: ask {@link ChannelBank.centsOf}. */
  pitch(channel: number): void;
  /** A controller, pedals among them; never a registered parameter, a bend or a channel mode. */
  controller(channel: number, controller: number, value: number): void;
  /** A program change, or pressure: type, channel and data as on the wire. */
  other(status: number, data1: number, data2: number): void;
  /** All Notes Off and what includes it: keys are released, pedals still hold. */
  allNotesOff(channel: number): void;
  /** All Sound Off: silence at once. */
  allSoundOff(channel: number): void;
}

/** Channel 10 as people count: percussion, where no zone has taken it. */
const PERCUSSION = 9;
const CHANNELS = 16;
/** Bend range of the members of a zone in MPE 1.1; its manager has that of any channel. */
const MEMBER_RANGE_CENTS = 4800;

interface BankChannel {
  tuning: ChannelTuning;
  /** The channel of the zone's manager if it is a member; -1 if not. */
  manager: number;
  /** Added to the tuning of each key, by the channel and its manager together. */
  offsetCents: number;
}

/**
 * Sixteen channels of a receiver: takes any MIDI, and knows the pitch of every key exactly. It handles bends, bend
 * ranges (RPN 0), fine and coarse tuning (RPN 1 and 2), MPE zones, whose manager's bend and controllers reach all
 * members, and single-note tuning changes. Messages that make no sense are ignored; can't fail. Channels are 0..15,
 * keys 0..127, pitches cents: 6900 is 440 Hz.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1; RP-015; MPE 1.1; MIDI Tuning Updated Specification
 * @example
 * const bank = new ChannelBank(bankListener);
 * bank.channel(0xe0, 0x4f, 0x3b);
 * bank.centsOf(0, 64)  // 6386.304: the major third of 4:5:6 on C, to within half a bend step
 */
export class ChannelBank {
  readonly #listener: BankListener;
  readonly #channels: BankChannel[] = Array.from({ length: CHANNELS }, createChannel);
  readonly #keys = new KeyTunings();

  constructor(listener: BankListener) {
    this.#listener = listener;
  }

  /** Tuning changes of kinds other than single notes, which are ignored. */
  get unknownTunings(): number {
    return this.#keys.unknown;
  }

  /** The pitch a key has on a channel now, in cents: 6900 is 440 Hz. */
  centsOf(channel: number, key: number): number {
    const { tuning, offsetCents } = this.#channels[channel];
    return this.#keys.centsOf(tuning.tuningProgram, key) + offsetCents;
  }

  /** What a channel adds to each of its keys, by bends and channel tunings. */
  offsetCentsOf(channel: number): number {
    return this.#channels[channel].offsetCents;
  }

  /** Whether a channel carries percussion: the tenth, unless a zone has it. */
  isPercussion(channel: number): boolean {
    return channel === PERCUSSION && this.#channels[channel].manager < 0;
  }

  channel(status: number, data1: number, data2: number): void {
    const channel = status & 0x0f;
    if (isNoteOn(status, data2)) {
      this.#listener.noteOn(channel, data1, data2);
    } else if (isNoteOff(status, data2)) {
      this.#listener.noteOff(channel, data1, (status & 0xf0) === NOTE_ON ? 64 : data2);
    } else {
      switch (status & 0xf0) {
        case PITCH_BEND:
          this.#channels[channel].tuning.bend = toFourteenBit(data1, data2);
          this.#tune(channel);
          break;
        case CONTROL_CHANGE:
          this.#controller(channel, data1, data2);
          break;
        case PROGRAM_CHANGE:
        case CHANNEL_PRESSURE:
          for (const one of this.#reach(channel)) this.#listener.other((status & 0xf0) | one, data1, 0);
          break;
        case POLY_PRESSURE:
          this.#listener.other(status, data1, data2);
          break;
      }
    }
  }

  /** Takes one system message, F0 to F7. */
  system(bytes: Uint8Array): void {
    const program = this.#keys.take(bytes);
    if (program === undefined) return;
    this.#channels.forEach(({ tuning }, channel) => {
      if (tuning.tuningProgram === program) this.#listener.pitch(channel);
    });
  }

  /** Resets everything to power-on; sounding notes are silenced. */
  reset(): void {
    this.#keys.clear();
    for (let channel = 0; channel < CHANNELS; channel++) {
      this.#listener.allSoundOff(channel);
      this.#channels[channel] = createChannel();
      this.#restore(channel);
    }
  }

  #controller(channel: number, controller: number, value: number): void {
    const { parameter } = this.#channels[channel].tuning;
    switch (controller) {
      case CC.rpnMsb:
      case CC.rpnLsb:
        parameter.take(controller, value);
        break;
      // A parameter that isn't registered doesn't affect pitch: it is passed on.
      case CC.nrpnMsb:
      case CC.nrpnLsb:
        parameter.take(controller, value);
        this.#pass(channel, controller, value);
        break;
      case CC.dataEntry:
      case CC.dataEntryLsb:
        if (parameter.selected >= NON_REGISTERED) this.#pass(channel, controller, value);
        else this.#dataEntry(channel, parameter.selected, controller === CC.dataEntry, value);
        break;
      case CC.allSoundOff:
        for (const one of this.#reach(channel)) this.#listener.allSoundOff(one);
        break;
      case CC.resetControllers:
        for (const one of this.#reach(channel)) this.#resetControllers(one);
        break;
      case CC.localControl:
        break;
      default:
        if (!liftsAllKeys(controller)) this.#pass(channel, controller, value);
        else for (const one of this.#reach(channel)) this.#listener.allNotesOff(one);
    }
  }

  #pass(channel: number, controller: number, value: number): void {
    for (const one of this.#reach(channel)) this.#listener.controller(one, controller, value);
  }

  #dataEntry(channel: number, parameter: number, isHigh: boolean, value: number): void {
    const { tuning, manager } = this.#channels[channel];
    if (parameter === RPN.bendRange) {
      // Sent to one member, it holds for its whole zone (MPE 1.1, 2.4).
      const its = manager < 0 ? [tuning] : this.#membersOf(manager).map((member) => member.tuning);
      for (const one of its) one.enterRange(isHigh, value);
    } else if (parameter === RPN.mpeConfiguration) {
      if (isHigh) this.#configure(channel, value);
    } else {
      tuning.enter(parameter, isHigh, value);
    }
    for (let one = 0; one < CHANNELS; one++) this.#tune(one);
  }

  #membersOf(manager: number): BankChannel[] {
    return this.#channels.filter((channel) => channel.manager === manager);
  }

  /** The MPE Configuration Message: a zone on the first or the last channel; the newest wins contested channels. */
  #configure(manager: number, count: number): void {
    if (manager !== 0 && manager !== 15) return;
    const step = manager === 0 ? 1 : -1;
    const members = Array.from({ length: Math.min(count, 15) }, (_, i) => manager + step * (i + 1));
    this.#channels.forEach((state, channel) => {
      const loses = state.manager === manager || members.includes(state.manager) || channel === manager;
      if (loses) state.manager = -1;
    });
    for (const channel of [manager, ...members]) {
      this.#listener.allSoundOff(channel);
      this.#resetControllers(channel);
      this.#channels[channel].tuning.rangeCents =
        channel === manager ? DEFAULT_RANGE_CENTS : MEMBER_RANGE_CENTS;
      if (channel !== manager) this.#channels[channel].manager = manager;
    }
  }

  /** The channels a message acts on: a manager's goes to its members too. */
  #reach(channel: number): number[] {
    const reached = [channel];
    for (let one = 0; one < CHANNELS; one++) if (this.#channels[one].manager === channel) reached.push(one);
    return reached;
  }

  #resetControllers(channel: number): void {
    const { tuning } = this.#channels[channel];
    tuning.bend = BEND_CENTRE;
    tuning.parameter.clear();
    this.#restore(channel);
  }

  #restore(channel: number): void {
    for (const controller of RESET_TO_ZERO) this.#listener.controller(channel, controller, 0);
    this.#listener.controller(channel, CC.expression, 127);
    this.#tune(channel);
  }

  /** Recomputes what a channel adds to its keys, and for a manager that of its members. */
  #tune(channel: number): void {
    for (const one of this.#reach(channel)) {
      const state = this.#channels[one];
      const { manager } = state;
      const cents = state.tuning.ownCents + (manager < 0 ? 0 : this.#channels[manager].tuning.ownCents);
      if (cents === state.offsetCents) continue;
      state.offsetCents = cents;
      this.#listener.pitch(one);
    }
  }
}

function createChannel(): BankChannel {
  return { tuning: new ChannelTuning(), manager: -1, offsetCents: 0 };
}
