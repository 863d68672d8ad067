import type { Line } from '../../core/line/index.js';
import { CC, CONTROL_CHANGE, MpeZones, ParameterChoice, RPN } from '../../core/midi/index.js';
import type { INPUT } from '../../core/settings/index.js';

/** How an input is known to have MPE zones. */
export type MpeInput = keyof typeof INPUT.mpe.words;

/** A bend range. */
export interface FingerRange {
  readonly semitones: number;
  readonly cents: number;
}

/** A channel 0..15, and as what it was played: whose zone it was in, and which finger. */
export interface ZonePlace {
  readonly channel: number;
  readonly manager: number;
  readonly finger: number;
}

/**
 * The MPE zones of an input: those of its setting, until its keyboard sends a configuration message.
 *
 * @example
 * const zones = new InputZones('lower');
 * [zones.managerOf(3), zones.fingerOf(3)]  // [0, 3]
 */
export class InputZones {
  readonly #mpe: MpeInput;
  #zones: MpeZones;
  /** By channel. */
  readonly #managers = new Uint8Array(16);
  readonly #parameters = Array.from({ length: 16 }, () => new ParameterChoice());
  /** By manager: what its fingers have sent of their bend range, in semitones and cents. */
  readonly #ranges = new Map<number, FingerRange>();

  constructor(mpe: MpeInput) {
    this.#mpe = mpe;
    this.#zones = toZones(mpe);
    this.#update();
  }

  /** The channel whose part a channel 0..15 plays: its zone's manager, or the channel itself. */
  managerOf(channel: number): number {
    return this.#managers[channel];
  }

  /** The finger of that part, 1..15; 0 for the part as a whole. */
  fingerOf(channel: number): number {
    return Math.abs(channel - this.#managers[channel]);
  }

  /** How many members the lower and the upper zone have; 0: there is none. */
  get members(): readonly [lower: number, upper: number] {
    const count = (manager: number) =>
      this.#managers.reduce((sum, its, channel) => sum + Number(its === manager && channel !== manager), 0);
    return [count(0), count(15)];
  }

  /**
   * Takes a channel message.
   * @returns for a configuration message, the channels that belong elsewhere now, as they were; else `undefined`
   */
  take(status: number, data1: number, data2: number): readonly ZonePlace[] | undefined {
    if (this.#mpe === 'off') return undefined;
    if ((status & 0xf0) === CONTROL_CHANGE) this.#watchRange(status & 0x0f, data1, data2);
    if (!this.#zones.take(status, data1, data2)) return undefined;
    this.#ranges.delete(status & 0x0f);
    return this.#update();
  }

  /** The bend range of a zone's fingers, by its manager; `undefined`: the usual one. */
  rangeOf(manager: number): FingerRange | undefined {
    return this.#ranges.get(manager);
  }

  /** RPN 0 on a member channel. */
  #watchRange(channel: number, controller: number, value: number): void {
    const manager = this.#managers[channel];
    if (manager === channel) return;
    if (controller >= CC.nrpnLsb && controller <= CC.rpnMsb)
      this.#parameters[channel].take(controller, value);
    if (this.#parameters[channel].selected !== RPN.bendRange) return;
    const { semitones, cents } = this.#ranges.get(manager) ?? { semitones: 48, cents: 0 };
    if (controller === CC.dataEntry) this.#ranges.set(manager, { semitones: value, cents });
    else if (controller === CC.dataEntryLsb) this.#ranges.set(manager, { semitones, cents: value });
  }

  /** Forgets what was told: the zones are those of the setting again. */
  reset(): void {
    this.#zones = toZones(this.#mpe);
    this.#ranges.clear();
    this.#update();
  }

  #update(): readonly ZonePlace[] {
    const left: ZonePlace[] = [];
    for (let channel = 0; channel < 16; channel++) {
      const manager = this.#managers[channel];
      const next = this.#zones.managerOf(channel);
      if (manager !== next) left.push({ channel, manager, finger: Math.abs(channel - manager) });
      this.#managers[channel] = next;
    }
    return left;
  }
}

function toZones(mpe: MpeInput): MpeZones {
  return new MpeZones(mpe === 'auto' || mpe === 'off' ? 'none' : mpe);
}

/**
 * Resets bend and pressure of every finger of a part: the hands have left the keyboard.
 * @param line at a time `atMs` in milliseconds, which never decreases
 */
export function restFingers(line: Line, atMs: number, part: number): void {
  for (let finger = 1; finger <= MOST_FINGERS; finger++)
    line.control(atMs, part, CONTROL_CHANGE, CC.resetControllers, 0, finger);
}

/** Most member channels of a zone. */
const MOST_FINGERS = 15;
