import {
  CC,
  CONTROL_CHANGE,
  isNoteOn,
  META,
  RPN,
  type Track,
  type TrackEvent,
  toWireMessage,
} from '../midi/index.js';

/**
 * The receiver of each track of a file, counted from 0, and how many there are.
 *
 * A receiver has sixteen channels. Tracks share one, as they share a cable, unless they name different ports. A track
 * with notes that configures an MPE zone, or tunes keys itself, has a separate one: in files with several such tracks
 * each is an instrument, and all use the same channels.
 *
 * @example toReceivers(tracksOf(file))  // { of: [0], count: 1 }
 */
export function toReceivers(tracks: readonly Track[]): {
  readonly of: readonly number[];
  readonly count: number;
} {
  const ports = new Map<number, number>();
  let count = 0;
  const of = tracks.map(({ events }) => {
    if (events.some((event) => event.kind === 'channel' && isNoteOn(event.status, event.data2))) {
      if (tunesItself(events)) return count++;
    }
    const port = toPort(events);
    let receiver = ports.get(port);
    if (receiver === undefined) {
      receiver = count++;
      ports.set(port, receiver);
    }
    return receiver;
  });
  return { of, count };
}

function toPort(events: readonly TrackEvent[]): number {
  const port = events.find((event) => event.kind === 'meta' && event.type === META.port);
  return port?.kind === 'meta' ? (port.data[0] ?? 0) : 0;
}

/** Whether a track configures an MPE zone, or changes the tuning of keys (MIDI Tuning Standard). */
function tunesItself(events: readonly TrackEvent[]): boolean {
  const selected = new Uint16Array(16).fill(RPN.none);
  for (const event of events) {
    if (event.kind === 'sysex') {
      const [, kind, , what] = toWireMessage(event);
      if ((kind === 0x7f || kind === 0x7e) && what === 8) return true;
    } else if (event.kind === 'channel' && (event.status & 0xf0) === CONTROL_CHANGE) {
      const channel = event.status & 0x0f;
      const { data1, data2 } = event;
      if (data1 === CC.rpnMsb) selected[channel] = (data2 << 7) | (selected[channel] & 0x7f);
      else if (data1 === CC.rpnLsb) selected[channel] = (selected[channel] & 0x3f80) | data2;
      else if (data1 === CC.nrpnMsb || data1 === CC.nrpnLsb) selected[channel] = RPN.none;
      else if (data1 === CC.dataEntry && selected[channel] === RPN.mpeConfiguration && data2 > 0) return true;
    }
  }
  return false;
}
