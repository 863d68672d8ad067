import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { formatMidiFile, type MidiFile, type TrackEvent, tracksOf } from '../../../src/core/midi/index.js';
import { legalFile } from '../../support/midi-arbitraries.js';
import { fileOf } from '../../support/midi-bytes.js';
import { readElsewhere } from '../../support/other-reader.js';
import { forAll } from '../../support/properties.js';

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
  test('property: every event has its tick and bytes', () => {
    forAll([legalFile.map(toCommonGround)], 300, (file) => {
      expect(readElsewhere(formatMidiFile(file))).toEqual(tracksOf(file).map(({ events }) => events));
    });
  });

  test('property: format, track count and division are the same', () => {
    forAll([legalFile.map(toCommonGround)], (file) => {
      const { header } = parseMidi(formatMidiFile(file));
      expect(header).toEqual({
        format: file.format,
        numTracks: file.chunks.length,
        ...(file.division.kind === 'ppq'
          ? { ticksPerBeat: file.division.ticksPerQuarter }
          : { framesPerSecond: file.division.framesPerSecond, ticksPerFrame: file.division.ticksPerFrame }),
      });
    });
  });

  test('a chorale ending has its chords, tempo and pedal in four tracks', () => {
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
