import { describe, expect, test } from 'vitest';
import { layOutByTrack, layOutTogether } from '../../src/app/output-layout.js';
import type { MidiFile, Track, TrackEvent, UnknownChunk } from '../../src/core/midi/index.js';
import { toPartsByChannel, toPartsByTrack } from '../../src/core/score/index.js';
import { ascii } from '../support/midi-bytes.js';

const STRANGER: UnknownChunk = { kind: 'unknown', id: ascii('XFIH'), data: Uint8Array.of(1, 2) };

/** A track with a name that plays a note on each of these channels. */
function track(name: string, ...channels: number[]): Track {
  const title: TrackEvent = { kind: 'meta', tick: 0, type: 3, data: ascii(name) };
  const notes = channels.map(
    (channel): TrackEvent => ({ kind: 'channel', tick: 0, status: 0x90 | channel, data1: 60, data2: 64 }),
  );
  return { kind: 'track', events: [title, ...notes] };
}

function file(format: 0 | 1 | 2, ...chunks: (Track | UnknownChunk)[]): MidiFile {
  return {
    format,
    division: { kind: 'ppq', ticksPerQuarter: 96 },
    headerExtra: Uint8Array.of(9),
    chunks,
    wrapper: 'riff',
  };
}

const tracksIn = ({ chunks }: MidiFile): Track[] => chunks.filter((chunk) => chunk.kind === 'track');

/** First name in each track, `-` for none, `?` for a chunk that is no track. */
function names({ chunks }: MidiFile): string[] {
  return chunks.map((chunk) => {
    if (chunk.kind === 'unknown') return '?';
    const [first] = chunk.events;
    return first?.kind === 'meta' ? String.fromCharCode(...first.data) : '-';
  });
}

function byTrack(input: MidiFile): ReturnType<typeof layOutByTrack> {
  return layOutByTrack(input, tracksIn(input), toPartsByTrack(tracksIn(input)));
}

function together(input: MidiFile): ReturnType<typeof layOutTogether> {
  return layOutTogether(input, tracksIn(input), toPartsByChannel(tracksIn(input)).parts);
}

describe('the output layout with a track for each part', () => {
  test('leaves a track with one channel, and a chunk of another kind, in its place', () => {
    const layout = byTrack(file(1, track('tempo'), STRANGER, track('flute', 0)));
    expect(names(layout.toFile())).toEqual(['-', '?', '-']);
    expect(layout.parts).toEqual([layout.home[1]]);
    expect(layout.parts[0]).toBe(layout.home[1]);
  });

  test('puts each further channel, and then what isn’t tuned, right after the track, under its name', () => {
    const layout = byTrack(file(1, track('piano', 0, 1, 9), track('flute', 2)));
    expect(names(layout.toFile())).toEqual(['-', 'piano (channel 2)', 'piano (not tuned)', '-']);
    expect(layout.parts[0]).toBe(layout.home[0]);
    expect(layout.parts[2]).toBe(layout.home[1]);
    expect(layout.untuned[0]).not.toBe(layout.home[0]);
    expect(layout.untuned[1]).toBe(layout.home[1]);
  });

  test('does not split a track of percussion alone', () => {
    const layout = byTrack(file(1, track('drums', 9)));
    expect(layout.untuned[0]).toBe(layout.home[0]);
    expect(names(layout.toFile())).toEqual(['-']);
  });

  test('makes a format 0 file format 1 only when its track is split', () => {
    expect(byTrack(file(0, track('solo', 0))).toFile().format).toBe(0);
    expect(byTrack(file(0, track('band', 0, 1))).toFile().format).toBe(1);
  });
});

test('one output track for all tuned notes comes after the last track of a format 1 file, whose tracks keep what isn’t tuned', () => {
  const layout = together(file(1, track('piano', 0), track('flute', 2), STRANGER));
  expect(names(layout.toFile())).toEqual(['-', '-', 'tuned parts', '?']);
  expect(new Set(layout.parts).size).toBe(1);
  expect(layout.home).not.toContain(layout.parts[0]);
  expect(layout.untuned).toEqual(layout.home);
});

test('one output track for all tuned notes is the input track itself where there is only one', () => {
  for (const format of [0, 1, 2] as const) {
    const layout = together(file(format, track('band', 0, 1)));
    expect(layout.parts).toEqual([layout.home[0], layout.home[0]]);
    expect(layout.parts[0]).toBe(layout.home[0]);
    expect(layout.toFile().format).toBe(format);
  }
});

test('header, division and wrapper of a retuned file stay as they were', () => {
  const input = file(1, track('piano', 0), track('flute', 1));
  for (const layout of [byTrack(input), together(input)]) {
    const { division, headerExtra, wrapper, format } = layout.toFile();
    expect({ division, headerExtra, wrapper, format }).toEqual({
      division: input.division,
      headerExtra: input.headerExtra,
      wrapper: 'riff',
      format: 1,
    });
  }
});
