import { BEND_CENTRE, CC, type MidiSink, PITCH_BEND, toLsb, toMsb } from '../midi/index.js';
import { BendingOutlet } from './bending-outlet.js';
import { ChannelState, toDefault } from './channel-state.js';
import { bringExpression, bringTo, hasExpression, sendPressure } from './controller-channel.js';
import { ControllerRouter } from './controller-router.js';
import { createControllerChannel, createMember, NO_PART } from './member.js';
import type { BendOptions, Outlet } from './outlet.js';
import { sendBendRange, sendZone } from './parameters.js';

/** Settings of {@link createMpe}. */
export interface MpeOptions extends BendOptions {
  /** Which end of the sixteen channels: `lower` has its manager on channel 0, `upper` on channel 15. */
  readonly zone: 'lower' | 'upper';
  /** How many member channels, 1..15. */
  readonly members: number;
  readonly sink: MidiSink;
}

/** The manager's part once the parts have set anything. */
const EVERY_PART = 0;
/** The manager's range after an MPE Configuration Message; sent all the same, in case the receiver had another. */
const MANAGER_RANGE_SEMITONES = 2;

/**
 * An outlet for an MPE receiver: one zone, each note on a member channel, everything common to all notes on the manager
 * channel.
 *
 * A zone is one instrument, so its parts share program, controllers and pedals. Only their pitch wheels are separate,
 * because the player's bend goes to the members, exactly. Poly pressure isn't allowed on members and becomes channel
 * pressure. MPE asks for bend, CC 74 and pressure before each note-on; they are sent only where the member differs from
 * what the note's finger has set, or from the default. What a player without fingers sets goes to the manager.
 *
 * Pitches are cents, 6900 is key 69, without limit; a bend past the range clamps, counted in `counters.clampedBends`.
 *
 * @see MPE 1.1, sections 2.1 to 2.4 and Appendix C
 * @example
 * const outlet = createMpe({ zone: 'lower', members: 15, rangeSemitones: 48, releaseHoldMs: 500, sink });
 * outlet.open();
 * sink.clear();
 * outlet.start(0, 1, 0, 64, 90, 6386.314);
 * sink.sent  // ['E1 69 3F', '91 40 5A']: the major third of 4:5:6 on C
 */
export function createMpe(options: MpeOptions): Outlet {
  const { sink, zone, members: count } = options;
  const manager = createControllerChannel(zone === 'lower' ? 0 : 15);
  const step = zone === 'lower' ? 1 : -1;
  const members = Array.from({ length: count }, (_, i) => createMember(manager.channel + step * (i + 1)));
  // What the parts have set together, for a reopened receiver.
  const common = new ChannelState();

  return new BendingOutlet({
    kind: 'mpe',
    sink,
    options,
    members,
    channels: [manager],
    router: new ControllerRouter(sink, [manager], common),
    configure() {
      sendZone(sink, manager.channel, count);
      sendBendRange(sink, manager.channel, MANAGER_RANGE_SEMITONES);
      sink.channel(PITCH_BEND | manager.channel, toLsb(BEND_CENTRE), toMsb(BEND_CENTRE));
      // The configuration message has set the members to their defaults.
      for (const { state } of members) {
        state.pressure = 0;
        state.setController(CC.timbre, toDefault(CC.timbre));
      }
    },
    isReady: (member, _part, { pressure, timbre }) => hasExpression(member, pressure, timbre),
    prepare(member, _part, { pressure, timbre }) {
      if (manager.part === NO_PART) bringTo(sink, manager, common);
      manager.part = EVERY_PART;
      bringExpression(sink, member, pressure, timbre);
    },
    press(note, pressure) {
      if (note.member.state.pressure !== pressure) sendPressure(sink, note.member, pressure);
    },
  });
}
