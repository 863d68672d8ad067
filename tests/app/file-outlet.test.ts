import { describe, expect, test } from 'vitest';
import { FileClock, openOutlets } from '../../src/app/file-outlet.js';
import { layOutByTrack, layOutTogether } from '../../src/app/output-layout.js';
import { toTempoMap, tracksOf } from '../../src/core/midi/index.js';
import { toPartsByChannel, toPartsByTrack } from '../../src/core/score/index.js';
import { buildMidi } from '../support/build-midi.js';

const FILE = buildMidi([[0, 4, 60]]);
const TRACKS = tracksOf(FILE);
const MPE = { kind: 'mpe', bendRange: undefined } as const;

/** Those of tuned parts. */
const definedOf = <T>(all: readonly (T | undefined)[]): T[] => all.filter((one) => one !== undefined);

describe('the outlets of a file', () => {
  test('are opened once, just before their first message, at its tick', () => {
    const parts = toPartsByTrack(TRACKS);
    const layout = layOutByTrack(FILE, TRACKS, parts);
    const clock = new FileClock(toTempoMap(FILE));
    const [one] = definedOf(openOutlets(parts, layout, MPE, clock));
    const [track] = definedOf(layout.parts);
    expect(track.events).toEqual([]);
    clock.goTo(96);
    one.makeReady();
    const opened = track.events.length;
    expect(opened).toBeGreaterThan(0);
    expect(track.events.every(({ tick }) => tick === 96)).toBe(true);
    one.makeReady();
    expect(track.events).toHaveLength(opened);
  });

  test('are silenced when the file resets its receiver, and opened again for the next message', () => {
    const parts = toPartsByTrack(TRACKS);
    const layout = layOutByTrack(FILE, TRACKS, parts);
    const [one] = definedOf(openOutlets(parts, layout, MPE, new FileClock(toTempoMap(FILE))));
    const [track] = definedOf(layout.parts);
    // Nothing is known to need it yet.
    one.reset(0);
    expect(track.events).toEqual([]);
    one.makeReady();
    const opened = track.events.length;
    one.outlet.start(0, 1, 0, 60, 80, 6000);
    one.reset(0);
    expect(track.events).toContainEqual({ kind: 'channel', tick: 0, status: 0x81, data1: 60, data2: 64 });
    const silenced = track.events.length;
    one.makeReady();
    expect(track.events.length).toBe(silenced + opened);
  });

  test('write SysEx as files do: with its F0 apart, and anything else escaped', () => {
    const parts = toPartsByTrack(TRACKS);
    const layout = layOutByTrack(FILE, TRACKS, parts);
    const [one] = definedOf(openOutlets(parts, layout, MPE, new FileClock(toTempoMap(FILE))));
    one.outlet.system(Uint8Array.of(0xf0, 0x7e, 0x7f, 9, 1, 0xf7));
    one.outlet.system(Uint8Array.of(0xf3, 5));
    expect(definedOf(layout.parts)[0].events).toEqual([
      { kind: 'sysex', tick: 0, lead: 0xf0, data: Uint8Array.of(0x7e, 0x7f, 9, 1, 0xf7) },
      { kind: 'sysex', tick: 0, lead: 0xf7, data: Uint8Array.of(0xf3, 5) },
    ]);
  });

  test('use the channels of their own parts alone, over tuning messages', () => {
    const on = (channel: number) =>
      ({ kind: 'channel', tick: 0, status: 0x90 | channel, data1: 60, data2: 64 }) as const;
    const two = [0, 5].map((channel) => ({ kind: 'track' as const, events: [on(channel)] }));
    const file = { ...FILE, format: 1 as const, chunks: two };
    const parts = toPartsByTrack(two);
    const layout = layOutByTrack(file, two, parts);
    const clock = new FileClock(toTempoMap(file));
    for (const one of definedOf(openOutlets(parts, layout, { kind: 'mts', bendRange: undefined }, clock)))
      one.makeReady();
    const channels = layout.home.map(({ events }) => [
      ...new Set(events.flatMap((event) => (event.kind === 'channel' ? [event.status & 15] : []))),
    ]);
    expect(channels).toEqual([[0], [5]]);
  });

  test('are one for all parts of a track, and none for a track where nobody plays', () => {
    const clock = new FileClock(toTempoMap(FILE));
    const choice = { kind: 'multichannel', bendRange: undefined } as const;
    const two = [...TRACKS, ...tracksOf(buildMidi([[0, 4, 64]]))];
    const parts = toPartsByChannel(two);
    const layout = layOutTogether({ ...FILE, format: 1, chunks: two }, two, parts.parts);
    expect(openOutlets(parts, layout, choice, clock)).toHaveLength(1);
    const nobody = toPartsByChannel([]);
    expect(openOutlets(nobody, layOutTogether(FILE, [], nobody.parts), choice, clock)).toEqual([]);
  });
});
