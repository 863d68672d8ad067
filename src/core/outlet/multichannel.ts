import { CC, type MidiSink, POLY_PRESSURE } from '../midi/index.js';
import { BendingOutlet } from './bending-outlet.js';
import { UNSET } from './channel-state.js';
import { bringExpression, bringTo, hasExpression } from './controller-channel.js';
import { ControllerRouter } from './controller-router.js';
import { type Expression, NO_EXPRESSION } from './fingers.js';
import { createMember } from './member.js';
import type { BendOptions, Outlet } from './outlet.js';

/** Settings of {@link createMultichannel}. */
export interface MultichannelOptions extends BendOptions {
  /** The channels to use, 0..15, each once, at least one; {@link PLAIN_CHANNELS} by default. */
  readonly channels: readonly number[];
  readonly sink: MidiSink;
}

/** All channels but 9, which General MIDI keeps for percussion (channel 10 as people count). */
export const PLAIN_CHANNELS: readonly number[] = Object.freeze(
  Array.from({ length: 16 }, (_, channel) => channel).filter((channel) => channel !== 9),
);

/**
 * An outlet for any multitimbral receiver: plain channels, shared by all parts, each with the program and controllers
 * of the part whose note it carries.
 *
 * What a part sets goes at once to every channel that carries the part. Channels no note has claimed follow the first
 * part heard, so a single part reaches all. A channel that comes to carry a part gets what differs before its note. So
 * pedals are right on every channel with notes: a channel whose note a pedal holds isn't free, and its part stays.
 * Where two parts must share a channel, it goes to the newcomer's part and back when that note ends. Pressure and CC 74
 * of a finger go to the channels of its notes alone; what the finger never set is its part's.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity
 * @example
 * const outlet = createMultichannel({ channels: PLAIN_CHANNELS, rangeSemitones: 2, releaseHoldMs: 500, sink });
 * outlet.open();
 * sink.clear();
 * outlet.start(0, 1, 0, 64, 90, 6386.314);
 * sink.sent  // ['E0 4F 3B', '90 40 5A']: the major third of 4:5:6 on C
 */
export function createMultichannel(options: MultichannelOptions): Outlet {
  const { sink } = options;
  const members = options.channels.map(createMember);
  const router = new ControllerRouter(sink, members);
  const toPressure = (part: number, { pressure }: Expression): number =>
    pressure === UNSET ? router.part(part).state.pressure : pressure;
  const toTimbre = (part: number, { timbre }: Expression): number =>
    timbre === UNSET ? router.part(part).state.controllers[CC.timbre] : timbre;

  return new BendingOutlet({
    kind: 'multichannel',
    sink,
    options,
    members,
    channels: members,
    router,
    configure() {},
    isReady: (member, part, expression) =>
      router.carries(member, part) &&
      (expression === NO_EXPRESSION ||
        hasExpression(member, toPressure(part, expression), toTimbre(part, expression))),
    prepare(member, part, expression) {
      if (member.part !== part) bringTo(sink, member, router.part(part).state);
      member.part = part;
      bringExpression(sink, member, toPressure(part, expression), toTimbre(part, expression));
    },
    press(note, pressure) {
      sink.channel(POLY_PRESSURE | note.member.channel, note.key, pressure);
    },
  });
}
