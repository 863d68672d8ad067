import {
  BEND_CENTRE,
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  isNoteOff,
  isNoteOn,
  NOTE_ON,
  PITCH_BEND,
  POLY_PRESSURE,
  PROGRAM_CHANGE,
  RPN,
  toFourteenBit,
} from '../midi/index.js';

/** What a {@link ChannelBank} makes of the messages: told in the order they come, with zones and tunings worked out. */
export interface BankListener {
  noteOn(channel: number, key: number, velocity: number): void;
  noteOff(channel: number, key: number, velocity: number): void;
  /** What sounds on a channel has another pitch now: ask {@link ChannelBank.centsOf}. */
  pitch(channel: number): void;
  /** A controller, pedals among them; never a registered parameter, a bend or a channel mode. */
  controller(channel: number, controller: number, value: number): void;
  /** A program change, or pressure: type, channel and data as on the wire. */
  other(status: number, data1: number, data2: number): void;
  /** All Notes Off and what includes it: keys are let go, pedals still hold. */
  allNotesOff(channel: number): void;
  /** All Sound Off: silence at once. */
  allSoundOff(channel: number): void;
}

/** Channel 10 as people count: percussion, where no zone has taken it. */
const PERCUSSION = 9;
const CHANNELS = 16;
/** General MIDI's range for a channel that was given none, and what MPE 1.1 gives members and managers. */
const STOCK_RANGE_CENTS = 200;
const MEMBER_RANGE_CENTS = 4800;
/** What Reset All Controllers turns off beside expression and bend (RP-015). */
const RESET_TO_ZERO = [CC.modulation, CC.sustain, 65, CC.sostenuto, CC.soft, 68, 69] as const;
const NO_PARAMETER = RPN.none;
/** Stands for any parameter that isn't registered: those have nothing to do with pitch, and are passed on. */
const NON_REGISTERED = -1;

interface ChannelState {
  bend: number;
  rangeCents: number;
  fineCents: number;
  coarseCents: number;
  tuningProgram: number;
  /** The registered parameter that data entry means. */
  parameter: number;
  /** The channel of the zone's manager if it is a member; -1 if not. */
  manager: number;
  /** What is added to the tuning of each key, bends of the channel and of its manager together. */
  offsetCents: number;
}

/**
 * Sixteen channels of a receiver: takes MIDI as it comes, and knows the pitch of every key exactly. Bends, bend ranges
 * (RPN 0), fine and coarse tuning (RPN 1 and 2), MPE zones, whose manager's bend and controllers reach all members, and
 * single-note tuning changes.
 *
 * A bend is taken for what its sender meant, `(value − 8192) · range ÷ 8192`, on members of a zone too: the other
 * reading MPE 1.1 allows a receiver, by 8191, would be up to 0.012 cents off within a semitone.
 *
 * Messages that make no sense are passed over; can't fail.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1; RP-015; MPE 1.1; MIDI Tuning Updated Specification
 * @example
 * bank.channel(0xe0, 0x4f, 0x3b);
 * bank.centsOf(0, 64)  // 6386.304…: the major third of 4:5:6 on C, to within half a bend step
 */
export class ChannelBank {
  readonly #listener: BankListener;
  readonly #channels: ChannelState[] = Array.from({ length: CHANNELS }, createChannel);
  /** Cents of each key by tuning program, for programs that were changed. */
  readonly #tunings = new Map<number, Float64Array>();
  /** Tuning changes of kinds other than single notes, which are passed over. */
  unknownTunings = 0;

  constructor(listener: BankListener) {
    this.#listener = listener;
  }

  /** The pitch a key has on a channel now, in cents: 6900 is 440 Hz. */
  centsOf(channel: number, key: number): number {
    const { tuningProgram, offsetCents } = this.#channels[channel];
    return (this.#tunings.get(tuningProgram)?.[key] ?? 100 * key) + offsetCents;
  }

  /** What a channel adds to each of its keys, by bends and channel tunings. */
  offsetCentsOf(channel: number): number {
    return this.#channels[channel].offsetCents;
  }

  /** Whether a channel carries percussion: the tenth, unless a zone has it. */
  isPercussion(channel: number): boolean {
    return channel === PERCUSSION && this.#channels[channel].manager < 0;
  }

  /** One channel message. */
  channel(status: number, data1: number, data2: number): void {
    const channel = status & 0x0f;
    if (isNoteOn(status, data2)) {
      this.#listener.noteOn(channel, data1, data2);
    } else if (isNoteOff(status, data2)) {
      this.#listener.noteOff(channel, data1, (status & 0xf0) === NOTE_ON ? 64 : data2);
    } else {
      switch (status & 0xf0) {
        case PITCH_BEND:
          this.#channels[channel].bend = toFourteenBit(data1, data2);
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

  /** One system message, F0 to F7. */
  system(bytes: Uint8Array): void {
    const [first, kind, , what, form] = bytes;
    if (first !== 0xf0 || (kind !== 0x7f && kind !== 0x7e) || what !== 8) return;
    // Single-note changes: real time without a bank, and with one in either kind.
    const start = kind === 0x7f && form === 2 ? 7 : form === 7 ? 8 : 0;
    // Requests and dumps tune nothing that sounds here, but neither are they understood.
    if (start === 0) {
      this.unknownTunings++;
      return;
    }
    const program = bytes[start - 2];
    for (let at = start, left = bytes[start - 1]; left > 0 && at + 4 < bytes.length; at += 4, left--) {
      const [key, semitone, high, low] = bytes.subarray(at, at + 4);
      // 7F 7F 7F means no change.
      if (semitone === 0x7f && high === 0x7f && low === 0x7f) continue;
      this.#toTuning(program)[key & 0x7f] = 100 * semitone + (((high << 7) | low) * 100) / 16384;
    }
    this.#channels.forEach((state, channel) => {
      if (state.tuningProgram === program) this.#listener.pitch(channel);
    });
  }

  /** Everything as when it was switched on; what sounds is silenced. */
  reset(): void {
    this.#tunings.clear();
    for (let channel = 0; channel < CHANNELS; channel++) {
      this.#listener.allSoundOff(channel);
      this.#channels[channel] = createChannel();
      this.#restore(channel);
    }
  }

  #controller(channel: number, controller: number, value: number): void {
    const state = this.#channels[channel];
    switch (controller) {
      case CC.rpnMsb:
        // A parameter that isn't registered is −1, all bits set: its low half reads as that of none.
        state.parameter = (value << 7) | (state.parameter & 0x7f);
        break;
      case CC.rpnLsb:
        state.parameter = (state.parameter & 0x3f80) | value;
        break;
      case CC.nrpnMsb:
      case CC.nrpnLsb:
        state.parameter = NON_REGISTERED;
        this.#pass(channel, controller, value);
        break;
      case CC.dataEntry:
      case CC.dataEntryLsb:
        if (state.parameter === NON_REGISTERED) this.#pass(channel, controller, value);
        this.#dataEntry(channel, controller === CC.dataEntry, value);
        break;
      case CC.allSoundOff:
        for (const one of this.#reach(channel)) this.#listener.allSoundOff(one);
        break;
      case CC.resetControllers:
        for (const one of this.#reach(channel)) this.#resetControllers(one);
        break;
      case CC.localControl:
        break;
      case CC.allNotesOff:
      case CC.omniOff:
      case CC.omniOn:
      case CC.mono:
      case CC.poly:
        for (const one of this.#reach(channel)) this.#listener.allNotesOff(one);
        break;
      default:
        this.#pass(channel, controller, value);
    }
  }

  #pass(channel: number, controller: number, value: number): void {
    for (const one of this.#reach(channel)) this.#listener.controller(one, controller, value);
  }

  #dataEntry(channel: number, isHigh: boolean, value: number): void {
    const state = this.#channels[channel];
    switch (state.parameter) {
      case RPN.bendRange: {
        // Given to one member, it holds for all of its zone (MPE 1.1, 2.4).
        const its =
          state.manager >= 0 ? this.#channels.filter(({ manager }) => manager === state.manager) : [state];
        for (const one of its) {
          const cents = one.rangeCents % 100;
          one.rangeCents = isHigh ? 100 * value + cents : one.rangeCents - cents + Math.min(value, 99);
        }
        break;
      }
      case RPN.fineTuning: {
        const steps = Math.round((state.fineCents * 8192) / 100) + 8192;
        const entered = isHigh ? (value << 7) | (steps & 0x7f) : (steps & 0x3f80) | value;
        state.fineCents = ((entered - 8192) * 100) / 8192;
        break;
      }
      case RPN.coarseTuning:
        if (isHigh) state.coarseCents = 100 * (value - 64);
        break;
      case RPN.tuningProgram:
        if (isHigh) state.tuningProgram = value;
        break;
      case RPN.mpeConfiguration:
        if (isHigh) this.#configure(channel, value);
        break;
      default:
        return;
    }
    for (let one = 0; one < CHANNELS; one++) this.#tune(one);
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
      this.#channels[channel].rangeCents = channel === manager ? STOCK_RANGE_CENTS : MEMBER_RANGE_CENTS;
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
    const state = this.#channels[channel];
    state.bend = BEND_CENTRE;
    state.parameter = NO_PARAMETER;
    this.#restore(channel);
  }

  #restore(channel: number): void {
    for (const controller of RESET_TO_ZERO) this.#listener.controller(channel, controller, 0);
    this.#listener.controller(channel, CC.expression, 127);
    this.#tune(channel);
  }

  /** Works out anew what a channel adds to its keys, and what its members do if it is a manager. */
  #tune(channel: number): void {
    for (const one of this.#reach(channel)) {
      const state = this.#channels[one];
      const { manager } = state;
      const cents = toOwnCents(state) + (manager < 0 ? 0 : toOwnCents(this.#channels[manager]));
      if (cents === state.offsetCents) continue;
      state.offsetCents = cents;
      this.#listener.pitch(one);
    }
  }

  #toTuning(program: number): Float64Array {
    let cents = this.#tunings.get(program);
    if (cents === undefined) {
      cents = Float64Array.from({ length: 128 }, (_, key) => 100 * key);
      this.#tunings.set(program, cents);
    }
    return cents;
  }
}

function createChannel(): ChannelState {
  return {
    bend: BEND_CENTRE,
    rangeCents: STOCK_RANGE_CENTS,
    fineCents: 0,
    coarseCents: 0,
    tuningProgram: 0,
    parameter: NO_PARAMETER,
    manager: -1,
    offsetCents: 0,
  };
}

function toOwnCents({ bend, rangeCents, fineCents, coarseCents }: ChannelState): number {
  return ((bend - BEND_CENTRE) * rangeCents) / BEND_CENTRE + fineCents + coarseCents;
}
