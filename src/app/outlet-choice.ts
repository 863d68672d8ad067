import type { MidiSink } from '../core/midi/index.js';
import {
  createMpe,
  createMts,
  createMultichannel,
  type Outlet,
  PLAIN_CHANNELS,
} from '../core/outlet/index.js';

/** How the retuned notes travel. `bendRange` is in semitones; `undefined` takes the kind's stock range. */
export interface OutletChoice {
  readonly kind: Outlet['kind'];
  readonly bendRange: number | undefined;
}

/** Stock bend ranges in semitones: what MPE receivers start with, and what General MIDI ones do. */
export const STOCK_BEND_RANGE: Readonly<Record<Outlet['kind'], number>> = {
  mpe: 48,
  multichannel: 2,
  mts: 2,
};

/** How long a released note's tail is kept from being bent, in milliseconds. */
const RELEASE_HOLD_MS = 500;

/**
 * Makes the outlet a user chose, writing to `sink`.
 * @param channelOf the channel each part plays on, for `mts`, which leaves parts on their own channels
 */
export function createOutlet(
  choice: OutletChoice,
  sink: MidiSink,
  channelOf: (part: number) => number,
): Outlet {
  const rangeSemitones = choice.bendRange ?? STOCK_BEND_RANGE[choice.kind];
  const releaseHoldMs = RELEASE_HOLD_MS;
  switch (choice.kind) {
    case 'mpe':
      return createMpe({ zone: 'lower', members: 15, rangeSemitones, releaseHoldMs, sink });
    case 'multichannel':
      return createMultichannel({ channels: PLAIN_CHANNELS, rangeSemitones, releaseHoldMs, sink });
    case 'mts':
      return createMts({ device: 0x7f, program: 0, channelOf, sink });
  }
}
