import { CONTROL_CHANGE, HOLDING_PEDALS } from '../../core/midi/index.js';
import { SharedPedals } from '../../core/outlet/index.js';
import { claims, type OutletChoice } from '../outlet-choice.js';
import { toChannel } from './input-parts.js';

/** A pedal as a part moved it. */
export interface PedalValue {
  readonly part: number;
  readonly controller: number;
  readonly value: number;
  /** The only channel it can reach; `undefined`: all. */
  readonly only?: number | undefined;
}

/**
 * The pedals that hold an input's notes: its own, by channel, and those of other channels that reach the same receiver
 * unchanged. A receiver makes no difference between them, so notes are held for as long as any of them is down.
 *
 * @example
 * const pedals = new InputPedals();
 * pedals.set(0, { part: 0, controller: 64, value: 127 });
 * pedals.set(0, { part: 17, controller: 64, value: 0 })  // 127: part 0's is still down
 */
export class InputPedals {
  readonly #byChannel = Array.from({ length: 16 }, () => new SharedPedals());
  readonly #others = new Map<string, PedalValue>();

  /** A part moves a pedal. @returns what that comes to for the notes of a channel: 0..127 */
  set(channel: number, { part, controller, value }: PedalValue): number {
    return this.#byChannel[channel].set(part, controller, value);
  }

  /** A pedal of another channel moved: channels that have no notes yet will need it. */
  keep(pedal: PedalValue): void {
    this.#others.set(`${pedal.part} ${pedal.controller}`, pedal);
  }

  /** Those of other channels that are down and reach a channel. */
  downOn(channel: number): readonly PedalValue[] {
    return [...this.#others.values()].filter(({ value, only = channel }) => value > 0 && only === channel);
  }
}

/** An input whose notes can be held. */
export interface PedalHolder {
  /** @returns whether it has played on a channel the pedal reaches */
  holdBy(atMs: number, pedal: PedalValue): boolean;
}

/**
 * Gives a pedal on a channel that isn't tuned to the inputs an outlet plays, where it would hold their notes at the
 * receiver: on any channel the outlet bends; with MIDI tuning, on the same channel.
 *
 * @returns whether they send it; if not, it passes as it came
 */
export function holdPlayers(
  { config }: { readonly config: OutletChoice },
  players: readonly PedalHolder[],
  atMs: number,
  pedal: PedalValue,
): boolean {
  const channel = toChannel(pedal.part);
  const isOwnChannel = config.kind === 'mts';
  if (!isOwnChannel && !claims(config, channel)) return false;
  const reach = isOwnChannel ? { ...pedal, only: channel } : pedal;
  const played = players.map((player) => player.holdBy(atMs, reach));
  return !isOwnChannel || played.includes(true);
}

/** Whether a message moves a pedal that holds notes. @example isHoldingPedal(0xb0, 64)  // true */
export function isHoldingPedal(status: number, data1: number): boolean {
  return (status & 0xf0) === CONTROL_CHANGE && HOLDING_PEDALS.includes(data1);
}
