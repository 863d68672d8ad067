import { CC, RPN } from '../midi/index.js';

/** Marks "never set". */
export const UNSET = -1;

/** Marks "set once, but the receiver may be another one now": differs from every value. */
export const STALE = -2;

/** The pedals that hold or colour notes: sustain, sostenuto, soft, and the second hold pedal. */
export const PEDALS: readonly number[] = [CC.sustain, CC.sostenuto, CC.soft, CC.hold2];

/** The two halves of a parameter's data entry; each {@link UNSET} until it comes. */
export interface ParameterValue {
  msb: number;
  lsb: number;
}

/**
 * Everything but notes and bend that can be set on a channel: controllers, program with its bank, channel pressure,
 * registered and other parameters.
 *
 * Used for what a part's player has set, and for what a receiver was sent on a channel. `bringTo` in
 * `controller-channel.ts` sends the difference.
 */
export class ChannelState {
  /**
   * By controller number; {@link UNSET}, {@link STALE} or 0..127. Selection and data entry are in `parameters` instead.
   */
  readonly controllers = new Int16Array(128).fill(UNSET);
  /** By parameter number as `parameters.ts` counts them, in the order they were first set. */
  readonly parameters = new Map<number, ParameterValue>();
  program = UNSET;
  /** The bank when the program was chosen; a bank counts only from the next program change. */
  programBank = UNSET;
  programBankLsb = UNSET;
  pressure = UNSET;
  /** The parameter that data entry would change now. */
  selected: number = RPN.none;

  /** Marks everything as doubtful: the receiver may be another one, or in an unknown state. */
  doubt(): void {
    for (let i = 0; i < this.controllers.length; i++) this.controllers[i] = toStale(this.controllers[i]);
    for (const value of this.parameters.values()) {
      value.msb = toStale(value.msb);
      value.lsb = toStale(value.lsb);
    }
    this.program = toStale(this.program);
    this.programBank = toStale(this.programBank);
    this.programBankLsb = toStale(this.programBankLsb);
    this.pressure = toStale(this.pressure);
    this.selected = RPN.none;
  }

  forget(): void {
    this.controllers.fill(UNSET);
    this.parameters.clear();
    this.program = UNSET;
    this.programBank = UNSET;
    this.programBankLsb = UNSET;
    this.pressure = UNSET;
    this.selected = RPN.none;
  }

  /** Marks everything but pedals as never set: feet haven't moved. */
  forgetAllButPedals(): void {
    const feet = PEDALS.map((pedal) => this.controllers[pedal]);
    this.forget();
    PEDALS.forEach((pedal, i) => {
      this.controllers[pedal] = feet[i];
    });
  }

  /**
   * Sets a controller 0..119 to 0..127. The high half of a 14-bit controller (1..31) sets its low half to 0, as
   * receivers do; bank select is no such pair.
   * @see MIDI 1.0 Detailed Specification 4.2.1, Control Change: on an MSB the receiver sets its LSB to zero
   */
  setController(controller: number, value: number): void {
    this.controllers[controller] = value;
    if (controller > CC.bank && controller < CC.bankLsb && this.controllers[controller + 32] !== UNSET) {
      this.controllers[controller + 32] = 0;
    }
  }

  /** Sets a program 0..127, from the bank chosen before it. */
  setProgram(program: number): void {
    this.program = program;
    this.programBank = this.controllers[CC.bank];
    this.programBankLsb = this.controllers[CC.bankLsb];
  }

  /** Data entry changed a parameter: `controller` says which half, CC 6 or CC 38. */
  setParameter(parameter: number, controller: number, value: number): void {
    let entry = this.parameters.get(parameter);
    if (entry === undefined) {
      entry = { msb: UNSET, lsb: UNSET };
      this.parameters.set(parameter, entry);
    }
    if (controller === CC.dataEntry) entry.msb = value;
    else entry.lsb = value;
  }
}

function toStale(value: number): number {
  return value === UNSET ? UNSET : STALE;
}

/**
 * A receiver's default for a controller: for a channel that takes a part which never set it. Bank, program and pedals
 * 0, volume 100, pan, balance and sound controllers in the middle, expression full, some reverb.
 *
 * @param controller 0..119
 * @returns 0..127
 * @see General MIDI 2, default settings; RP-015, Response to Reset All Controllers
 * @example toDefault(CC.expression)  // 127
 */
export function toDefault(controller: number): number {
  if (controller === CC.volume) return 100;
  if (controller === CC.expression) return 127;
  if (controller === CC.pan || controller === BALANCE) return 64;
  if (controller >= FIRST_SOUND_CONTROLLER && controller <= LAST_SOUND_CONTROLLER) return 64;
  return controller === REVERB_SEND ? 40 : 0;
}

const BALANCE = 8;
const FIRST_SOUND_CONTROLLER = 70;
const LAST_SOUND_CONTROLLER = 79;
const REVERB_SEND = 91;

/**
 * A receiver's default for a parameter, or nothing where the standard names none (whatever isn't registered): then the
 * present value is left.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Table IIIa: fine tuning 40 00, coarse tuning 40; General MIDI 2: tuning
 *   program and bank 0
 * @example toParameterDefault(RPN.coarseTuning)  // { msb: 64, lsb: 0 }
 */
export function toParameterDefault(parameter: number): ParameterValue | undefined {
  if (parameter === RPN.fineTuning || parameter === RPN.coarseTuning) return NO_TUNING;
  if (parameter === RPN.tuningProgram || parameter === RPN.tuningBank) return FIRST;
  return undefined;
}

const NO_TUNING: ParameterValue = Object.freeze({ msb: 64, lsb: 0 });
const FIRST: ParameterValue = Object.freeze({ msb: 0, lsb: 0 });
