import type { MidiSink } from '../core/midi/index.js';
import {
  createMpe,
  createMts,
  createMultichannel,
  type Outlet,
  PLAIN_CHANNELS,
} from '../core/outlet/index.js';
import { formatChannels } from '../core/words/index.js';
import { LeewayError } from '../io/leeway-error.js';

/** How the retuned notes are sent. */
export interface OutletChoice {
  readonly kind: Outlet['kind'];
  /** Of the receiver, in semitones; `undefined` takes the kind's default range. */
  readonly bendRange: number | undefined;
  /** For `mpe`: which end of the sixteen channels, by default the lower, and how many member channels 1..15, by default all. */
  readonly zone?: 'lower' | 'upper';
  readonly members?: number;
  /** For `multichannel`: the channels 0..15 to use; by default all but 9. */
  readonly channels?: readonly number[] | undefined;
  /** How long a released note's tail is protected from bends, in milliseconds; default 500. */
  readonly releaseHoldMs?: number;
}

/** Default bend ranges in semitones: the defaults of MPE and General MIDI receivers. */
export const DEFAULT_BEND_RANGE: Readonly<Record<Outlet['kind'], number>> = {
  mpe: 48,
  multichannel: 2,
  mts: 2,
};

/**
 * Whether an outlet bends notes of many parts on channels it chooses, so that nothing else may use these.
 * @example claims({ kind: 'mpe', bendRange: 48, zone: 'lower', members: 8 }, 9)  // false
 */
export function claims(
  { kind, zone = 'lower', members = 15, channels }: OutletChoice,
  channel: number,
): boolean {
  if (kind === 'mts') return false;
  if (kind === 'multichannel') return (channels ?? PLAIN_CHANNELS).includes(channel);
  return zone === 'lower' ? channel <= members : channel >= 15 - members;
}

/** Plain channels instead of a zone, with the same protection of tails. */
export function toPlain({ releaseHoldMs }: OutletChoice): OutletChoice {
  const plain = { kind: 'multichannel', bendRange: undefined } as const;
  return releaseHoldMs === undefined ? plain : { ...plain, releaseHoldMs };
}

/**
 * The outlet without the channels that carry what isn't tuned: these carry nothing else, chosen or not. Throws a
 * LeewayError CHANNELS_TAKEN if none is left.
 *
 * @param taken channels 0..15
 * @example besideOthers({ kind: 'multichannel', bendRange: 2, channels: [8, 9] }, new Set([9])).channels  // [8]
 */
export function besideOthers(outlet: OutletChoice, taken: ReadonlySet<number>): OutletChoice {
  if (outlet.kind !== 'multichannel') return outlet;
  const channels = (outlet.channels ?? PLAIN_CHANNELS).filter((channel) => !taken.has(channel));
  if (channels.length > 0) return { ...outlet, channels };
  const others = formatChannels([...taken]);
  throw new LeewayError({
    code: 'CHANNELS_TAKEN',
    message: `No channel is left for the tuned notes: what isn't tuned uses ${others}.`,
    advice: "Use --outlet mpe, give the outlet other channels, or put what isn't tuned on fewer channels.",
  });
}

const RELEASE_HOLD_MS = 500;

/**
 * Makes the outlet a user chose, writing to `sink`.
 * @param channelOf the channel of each part, for `mts`, which leaves parts on their channels
 */
export function createOutlet(
  choice: OutletChoice,
  sink: MidiSink,
  channelOf: (part: number) => number,
): Outlet {
  const rangeSemitones = choice.bendRange ?? DEFAULT_BEND_RANGE[choice.kind];
  const { zone = 'lower', members = 15, channels = PLAIN_CHANNELS, releaseHoldMs = RELEASE_HOLD_MS } = choice;
  switch (choice.kind) {
    case 'mpe':
      return createMpe({ zone, members, rangeSemitones, releaseHoldMs, sink });
    case 'multichannel':
      return createMultichannel({ channels, rangeSemitones, releaseHoldMs, sink });
    case 'mts':
      return createMts({ device: 0x7f, program: 0, channelOf, sink });
  }
}
