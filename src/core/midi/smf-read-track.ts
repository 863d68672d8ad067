import type { Problem } from '../outcome.js';
import { type Cursor, toHex, UNREADABLE, type Warnings } from './smf-cursor.js';
import { type ChannelEvent, META, type MetaEvent, type TrackEvent } from './smf-types.js';
import { dataLength, END_OF_SYSEX, NOTE_OFF, SYSEX } from './status.js';

const META_LEAD = 0xff;

/**
 * The events of one track chunk, whose bytes are exactly those of the cursor.
 *
 * End-of-track always comes last and once. Where the file has none, one is added at the last tick. Events after it stay
 * at their ticks, and it moves behind them; zero bytes after it are padding. Each of these, and running status across a
 * meta or SysEx event, gives a warning: other programs write such files.
 *
 * @returns the events, or undefined with the reason in `cursor.problem`
 * @see Standard MIDI Files 1.0, Track Chunks
 */
export function readTrack(cursor: Cursor, warnings: Warnings): TrackEvent[] | undefined {
  const events: TrackEvent[] = [];
  const running: Running = { status: 0, cancelled: false };
  let tick = 0;
  let end: MetaEvent | undefined;
  let paddingOffset = cursor.end;
  while (cursor.left > 0) {
    const offset = cursor.offset;
    if (end && offset >= paddingOffset) {
      warnings.add(padding, offset, cursor.left);
      break;
    }
    const delta = cursor.variableLength('a delta-time');
    if (delta === UNREADABLE) return undefined;
    tick += delta;
    const event = readEvent(cursor, tick, running, warnings);
    if (!event) return undefined;
    if (end) warnings.add(eventAfterEnd, offset);
    if (event.kind === 'meta' && event.type === META.endOfTrack) {
      if (!end) paddingOffset = findPadding(cursor);
      end = event;
    } else {
      events.push(event);
    }
  }
  if (!end) warnings.add(missingEnd, cursor.end);
  events.push({ kind: 'meta', tick, type: META.endOfTrack, data: end ? end.data : new Uint8Array(0) });
  return events;
}

/** The status that a data byte without one takes, 0 at the start of a track; cancelled by a meta or SysEx event. */
interface Running {
  status: number;
  cancelled: boolean;
}

function readEvent(
  cursor: Cursor,
  tick: number,
  running: Running,
  warnings: Warnings,
): TrackEvent | undefined {
  const offset = cursor.offset;
  const lead = cursor.byte('an event');
  if (lead === UNREADABLE) return undefined;
  if (lead < NOTE_OFF) {
    if (running.status === 0) return refuse(cursor, noStatus(offset, lead));
    if (running.cancelled) warnings.add(runningStatusKept, offset);
    return readChannelEvent(cursor, tick, running.status, lead);
  }
  if (lead < SYSEX) {
    running.status = lead;
    running.cancelled = false;
    const data1 = cursor.dataByte('a first data byte');
    return data1 === UNREADABLE ? undefined : readChannelEvent(cursor, tick, lead, data1);
  }
  running.cancelled = true;
  if (lead === META_LEAD) {
    const type = cursor.dataByte('a meta event type');
    const data = type === UNREADABLE ? undefined : takeCounted(cursor, 'a meta event');
    return data && { kind: 'meta', tick, type, data };
  }
  if (lead === SYSEX || lead === END_OF_SYSEX) {
    const data = takeCounted(cursor, 'a SysEx event');
    return data && { kind: 'sysex', tick, lead, data };
  }
  return refuse(cursor, illegalStatus(offset, lead));
}

function readChannelEvent(
  cursor: Cursor,
  tick: number,
  status: number,
  data1: number,
): ChannelEvent | undefined {
  const data2 = dataLength(status) === 1 ? 0 : cursor.dataByte('a second data byte');
  return data2 === UNREADABLE ? undefined : { kind: 'channel', tick, status, data1, data2 };
}

/** A length and as many bytes. */
function takeCounted(cursor: Cursor, what: string): Uint8Array | undefined {
  const length = cursor.variableLength(`the length of ${what}`);
  return length === UNREADABLE ? undefined : cursor.take(length, `the data of ${what}`);
}

/** Offset of the zero bytes at the end of the stretch. Called once a track, so reading stays linear. */
function findPadding(cursor: Cursor): number {
  let at = cursor.end;
  while (at > cursor.offset && cursor.bytes[at - 1] === 0) at--;
  return at;
}

function refuse(cursor: Cursor, problem: Problem): undefined {
  cursor.refuse(problem);
  return undefined;
}

function noStatus(offset: number, found: number): Problem {
  return {
    code: 'SMF_RUNNING_STATUS',
    message: `Expected a status byte, 80 or above, at byte ${offset}, but found ${toHex(found)}, and no channel message comes before it.`,
    advice: 'The track is damaged here. Export the file again from the program that made it.',
    offset,
  };
}

function illegalStatus(offset: number, found: number): Problem {
  return {
    code: 'SMF_STATUS',
    message: `Expected a channel, SysEx or meta event at byte ${offset}, but found ${toHex(found)}, which only travels on the wire.`,
    advice: 'The track is damaged here. A file stores such messages inside an F7 event; export it again.',
    offset,
  };
}

function missingEnd(offset: number): Problem {
  return {
    code: 'SMF_NO_END_OF_TRACK',
    message: `Expected an end-of-track event before the track chunk ends at byte ${offset}, but found none; one was added.`,
    advice:
      'Check that the last notes are there: the file may have been cut short by the program that made it.',
    offset,
  };
}

function eventAfterEnd(offset: number): Problem {
  return {
    code: 'SMF_AFTER_END_OF_TRACK',
    message: `Expected the track chunk to end after its end-of-track event, but an event follows at byte ${offset}; it was kept, and the end moved behind it.`,
    advice: 'Nothing to do, unless the piece now ends with notes that were never meant to be heard.',
    offset,
  };
}

function padding(offset: number, zeroBytes: number): Problem {
  return {
    code: 'SMF_TRACK_PADDING',
    message: `Expected the track chunk to end after its end-of-track event, but ${zeroBytes} zero bytes follow at byte ${offset}; they were left out.`,
    advice: 'Nothing to do: the bytes hold no music.',
    offset,
  };
}

function runningStatusKept(offset: number): Problem {
  return {
    code: 'SMF_RUNNING_STATUS_KEPT',
    message: `Expected a status byte at byte ${offset}, after a meta or SysEx event; the status of the channel message before that event was used.`,
    advice:
      'Nothing to do: many programs write and read files like this, though the standard says otherwise.',
    offset,
  };
}
