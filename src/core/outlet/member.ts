import { BEND_CENTRE } from '../midi/index.js';
import { ChannelState } from './channel-state.js';
import type { Expression } from './fingers.js';
import { type DownNote, DownNotes, HeardNotes, type ListedNote } from './member-notes.js';

/** Marks "no part yet". */
export const NO_PART = -1;

/** A note as it was sent. Its note-off replays `member.channel` and `key`, whatever has changed since. */
export interface SentNote extends ListedNote<SentNote>, DownNote<SentNote> {
  readonly id: number;
  readonly part: number;
  readonly member: Member;
  /** Wanted pitch, the player's bend not counted; 6900 is key 69. */
  cents: number;
  /** What its finger adds: follows the finger while the key is down. */
  expression: Expression;
  /** Whether the wanted pitch, the player's bend counted, is beyond the bend range or that of the part's other notes. */
  isClamped: boolean;
}

/** A channel that carries a part's program and controllers, and what the receiver was sent on it. */
export interface ControllerChannel {
  /** 0..15 */
  readonly channel: number;
  /** The part whose program and controllers are set on the channel; {@link NO_PART} before the first. */
  part: number;
  /** What was sent, so that nothing is sent twice. */
  readonly state: ChannelState;
}

/** A channel given to single notes, and what is on it. */
export interface Member extends ControllerChannel {
  /** Notes that can be heard on it. The last one owns the bend. */
  readonly notes: HeardNotes<SentNote>;
  readonly keyCounts: Uint32Array;
  /** Those of them whose note-on still waits for its note-off. */
  readonly down: DownNotes<SentNote>;
  /** Its present bend, 0..16383. */
  bend: number;
  /** When its last note ended and left a tail, in milliseconds; -Infinity when nothing rings. */
  freedAtMs: number;
  /** The key it played last; -1 before the first. */
  lastKey: number;
}

/** A channel on which nothing was sent. @example createControllerChannel(0).part  // -1: NO_PART */
export function createControllerChannel(channel: number): ControllerChannel {
  return { channel, part: NO_PART, state: new ChannelState() };
}

/** A silent member, its bend at the centre. @example createMember(1).bend  // 8192 */
export function createMember(channel: number): Member {
  // All fields at once: spread objects cost the allocator 0.6 kB of garbage a note (measured).
  return {
    channel,
    part: NO_PART,
    state: new ChannelState(),
    notes: new HeardNotes(),
    keyCounts: new Uint32Array(128),
    down: new DownNotes(),
    bend: BEND_CENTRE,
    freedAtMs: -Infinity,
    lastKey: -1,
  };
}
