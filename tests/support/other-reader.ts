import { type MidiEvent, parseMidi } from 'midi-file';
import type { TrackEvent } from '../../src/core/midi/index.js';

/** An event of the other reader as one of ours, as far as it keeps what ours keeps; undefined where it does not. */
function toOurs(event: MidiEvent, tick: number): TrackEvent | undefined {
  const channel = (type: number, data1: number, data2: number): TrackEvent => ({
    kind: 'channel',
    tick,
    status: type | ('channel' in event ? event.channel : 0),
    data1,
    data2,
  });
  switch (event.type) {
    case 'noteOn':
    case 'noteOff': {
      const isPlainOff = event.type === 'noteOff' && !event.byte9;
      return channel(isPlainOff ? 0x80 : 0x90, event.noteNumber, event.velocity);
    }
    case 'noteAftertouch':
      return channel(0xa0, event.noteNumber, event.amount);
    case 'controller':
      return channel(0xb0, event.controllerType, event.value);
    case 'programChange':
      return channel(0xc0, event.programNumber, 0);
    case 'channelAftertouch':
      return channel(0xd0, event.amount, 0);
    case 'pitchBend':
      return channel(0xe0, (event.value + 8192) & 0x7f, (event.value + 8192) >> 7);
    case 'sysEx':
      return { kind: 'sysex', tick, lead: 0xf0, data: Uint8Array.from(event.data) };
    case 'endSysEx':
      return { kind: 'sysex', tick, lead: 0xf7, data: Uint8Array.from(event.data) };
    case 'endOfTrack':
      return { kind: 'meta', tick, type: 0x2f, data: new Uint8Array(0) };
    case 'setTempo': {
      const us = event.microsecondsPerBeat;
      return { kind: 'meta', tick, type: 0x51, data: Uint8Array.of(us >> 16, (us >> 8) & 255, us & 255) };
    }
    case 'text':
      return {
        kind: 'meta',
        tick,
        type: 0x01,
        data: Uint8Array.from(event.text, (letter) => letter.charCodeAt(0)),
      };
    default:
      return undefined;
  }
}

/** The tracks of a file as the independent reader finds them. */
export function readElsewhere(bytes: Uint8Array): (TrackEvent | undefined)[][] {
  return parseMidi(bytes).tracks.map((events) => {
    let tick = 0;
    return events.map((event) => {
      tick += event.deltaTime;
      return toOurs(event, tick);
    });
  });
}
