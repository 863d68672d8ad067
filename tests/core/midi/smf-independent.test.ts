import fc from 'fast-check';
import { type MidiEvent, parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { formatMidiFile, type MidiFile, type TrackEvent, tracksOf } from '../../../src/core/midi/index.js';
import { legalFile } from '../../support/midi-arbitraries.js';
import { fileOf } from '../../support/midi-bytes.js';

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

function readElsewhere(bytes: Uint8Array): (TrackEvent | undefined)[][] {
  return parseMidi(bytes).tracks.map((events) => {
    let tick = 0;
    return events.map((event) => {
      tick += event.deltaTime;
      return toOurs(event, tick);
    });
  });
}

/** What the other reader can represent: tracks alone, and of the meta events those without a fixed form of their own. */
function toCommonGround(file: MidiFile): MidiFile {
  const chunks = tracksOf(file).map(({ events }) => ({
    kind: 'track' as const,
    events: events.map((event): TrackEvent => {
      if (event.kind !== 'meta') return event;
      if (event.type === 0x2f) return { kind: 'meta', tick: event.tick, type: 0x2f, data: new Uint8Array(0) };
      if (event.type === 0x51)
        return { kind: 'meta', tick: event.tick, type: 0x51, data: Uint8Array.of(7, 0xa1, 0x20) };
      return { kind: 'meta', tick: event.tick, type: 0x01, data: event.data };
    }),
  }));
  return {
    format: file.format,
    division: file.division,
    headerExtra: new Uint8Array(0),
    chunks,
    wrapper: 'none',
  };
}

describe('another reader finds in our files what we put in', () => {
  test('property: every event with its tick and bytes', () => {
    fc.assert(
      fc.property(legalFile.map(toCommonGround), (file) => {
        expect(readElsewhere(formatMidiFile(file))).toEqual(tracksOf(file).map(({ events }) => events));
      }),
      { numRuns: 300 },
    );
  });

  test('property: format, track count and division', () => {
    fc.assert(
      fc.property(legalFile.map(toCommonGround), (file) => {
        const { header } = parseMidi(formatMidiFile(file));
        expect(header).toEqual({
          format: file.format,
          numTracks: file.chunks.length,
          ...(file.division.kind === 'ppq'
            ? { ticksPerBeat: file.division.ticksPerQuarter }
            : { framesPerSecond: file.division.framesPerSecond, ticksPerFrame: file.division.ticksPerFrame }),
        });
      }),
    );
  });

  test('a chorale ending: chords, tempo and pedal in four tracks', () => {
    const part = (channel: number, keys: number[]): TrackEvent[] => [
      { kind: 'channel', tick: 0, status: 0xb0 | channel, data1: 64, data2: 127 },
      ...keys.flatMap((key, i): TrackEvent[] => [
        { kind: 'channel', tick: i * 96, status: 0x90 | channel, data1: key, data2: 80 },
        { kind: 'channel', tick: i * 96 + 96, status: 0x80 | channel, data1: key, data2: 0 },
      ]),
      { kind: 'meta', tick: keys.length * 96, type: 0x2f, data: new Uint8Array(0) },
    ];
    const file = fileOf(
      part(0, [72, 71, 72]),
      part(1, [65, 67, 64]),
      part(2, [57, 62, 60]),
      part(3, [53, 43, 48]),
    );
    expect(readElsewhere(formatMidiFile(file))).toEqual(tracksOf(file).map(({ events }) => events));
  });
});
