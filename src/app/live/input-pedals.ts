import { CONTROL_CHANGE, HOLDING_PEDALS } from '../../core/midi/index.js';
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

/** What plays an outlet, and whose notes can be held. */
export interface PedalHolder {
  /** @returns whether it has played on a channel the pedal reaches */
  holdBy(atMs: number, pedal: PedalValue): boolean;
}

/**
 * Gives a pedal on a channel that isn't tuned to those who play an outlet, where it would hold their notes at the
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

/** Whether a message is of a controller. @example isController(0xb0, 64, 64)  // true */
export function isController(status: number, data1: number, controller: number): boolean {
  return (status & 0xf0) === CONTROL_CHANGE && data1 === controller;
}
