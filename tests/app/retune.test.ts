import fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import type { OutletChoice } from '../../src/app/outlet-choice.js';
import { type Retuned, retune } from '../../src/app/retune.js';
import {
  formatMidiFile,
  type MidiFile,
  parseMidiFile,
  type Track,
  type TrackEvent,
  tracksOf,
} from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, type Planning } from '../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../src/core/tuner/index.js';
import { fileOf } from '../support/midi-bytes.js';
import { musicalFile } from '../support/musical-files.js';
import { amongAll, forAll } from '../support/properties.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;
type Kind = (typeof KINDS)[number];
const PERCUSSION = 9;

/** Every outlet, strategy and way of holding, planned or not, with a file to play. */
const playing = fc.record({
  file: musicalFile,
  strategy: fc.constantFrom<Strategy>('free', 'pull', 'anchored'),
  held: fc.constantFrom('follow' as const, 'stay' as const),
  plan: fc.constantFrom<Planning>(
    'live',
    'live',
    { end: 'open', smoothSeconds: 10 },
    { end: 'home', smoothSeconds: 0 },
  ),
});

/** Runs a check over random files for one outlet. */
function forAllFiles(kind: Kind, check: (file: MidiFile, after: Retuned) => void): void {
  forAll([playing], 150, ({ file, strategy, held, plan }) => {
    const settings = toSettings({ strategy, held, limit: 7 });
    check(file, retune(file, { settings, outlet: { kind, bendRange: undefined }, plan }));
  });
}

type Message = TrackEvent & { kind: 'channel' };

function messages(events: readonly TrackEvent[]): Message[] {
  return events.filter((event) => event.kind === 'channel');
}

const isOn = ({ status, data2 }: Message): boolean => (status & 0xf0) === 0x90 && data2 > 0;

function isOff({ status, data2 }: Message): boolean {
  return (status & 0xf0) === 0x80 || ((status & 0xf0) === 0x90 && data2 === 0);
}

const channelOf = ({ status }: Message): number => status & 0x0f;

/** Channels of a track that play notes to be tuned. */
function playingChannels({ events }: Track): Set<number> {
  return new Set(
    messages(events)
      .filter((m) => isOn(m) && channelOf(m) !== PERCUSSION)
      .map(channelOf),
  );
}

/**
 * The output tracks that stand for each input track. By track, each further channel and what isn't tuned get a track
 * of their own after it; in other files an input track is one output track.
 */
function toGroups(file: MidiFile, after: Retuned, kind: Kind): Track[][] {
  const out = tracksOf(after.file);
  if (file.format === 2 || kind === 'multichannel') return tracksOf(file).map((_, i) => [out[i]]);
  let at = 0;
  return tracksOf(file).map((track) => {
    const channels = playingChannels(track);
    const others = channels.size > 0 && messages(track.events).some((m) => !channels.has(channelOf(m)));
    const size = Math.max(1, channels.size) + (others ? 1 : 0);
    at += size;
    return out.slice(at - size, at);
  });
}

/** Where the tuned notes of each input track go: its group, or for a shared port the one track at the end. */
function toTuned(file: MidiFile, after: Retuned, kind: Kind): { before: Track[]; after: Track[] }[] {
  const before = tracksOf(file);
  const out = tracksOf(after.file);
  if (kind === 'multichannel' && file.format === 1 && before.length > 1)
    return [{ before, after: [out[before.length]] }];
  return toGroups(file, after, kind).map((group, i) => ({ before: [before[i]], after: group }));
}

/** The events of a track which the percussion of an input track went to: the last of its group. */
function percussionOf(group: readonly Track[]): Message[] {
  return messages(group[group.length - 1].events).filter((m) => channelOf(m) === PERCUSSION);
}

/** Note-ons of a track that aren't percussion. In a zone of its own channel 10 is a channel like any other. */
function tunedOf(
  track: Track,
  isLast: boolean,
  group: readonly Track[],
  before: readonly Track[],
): Message[] {
  const percussive = before.some(({ events }) => messages(events).some((m) => channelOf(m) === PERCUSSION));
  const others = group.length > 1 ? percussive && isLast : false;
  if (others) return [];
  const keepsPercussion = group.length === 1 && percussive;
  return messages(track.events).filter((m) => !(keepsPercussion && channelOf(m) === PERCUSSION));
}

describe.each(KINDS)('retune for %s', (kind) => {
  test('gives a receiver that the file has reset nothing again of what the file had set before', () => {
    const channel = (tick: number, status: number, data1: number, data2: number): TrackEvent =>
      ({ kind: 'channel', tick, status, data1, data2 }) as const;
    const generalMidiOn = Uint8Array.of(0x7e, 0x7f, 9, 1, 0xf7);
    const file = fileOf([
      channel(0, 0xc0, 5, 0),
      channel(0, 0xb0, 7, 50),
      channel(0, 0x90, 60, 80),
      channel(96, 0x80, 60, 64),
      { kind: 'sysex', tick: 192, lead: 0xf0, data: generalMidiOn },
      channel(288, 0x90, 64, 80),
    ]);
    const after = retune(file, {
      settings: toSettings({}),
      outlet: { kind, bendRange: undefined },
      plan: 'live',
    });
    const later = tracksOf(after.file).flatMap(({ events }) =>
      messages(events).filter(({ tick }) => tick >= 192),
    );
    expect(later.filter(isOn)).toHaveLength(1);
    expect(later.filter(({ status, data1 }) => (status & 0xf0) === 0xc0 || data1 === 7)).toEqual([]);
  });

  test('gives one note-on for each note-on, with its velocity and tick, ended by its note-off or with its track', () => {
    forAllFiles(kind, (file, after) => {
      for (const { before, after: group } of toTuned(file, after, kind)) {
        const wantedOns = before
          .flatMap(({ events }) => messages(events))
          .filter((m) => isOn(m) && channelOf(m) !== PERCUSSION);
        const tuned = group.map((track, i) => tunedOf(track, i === group.length - 1, group, before));
        const ons = tuned.flat().filter(isOn);
        expect(ons.map(toStart).sort()).toEqual(wantedOns.map(toStart).sort());
        for (const track of tuned) expectPaired(track);
      }
    });
  });

  test('leaves note-offs where they were; what never ended ends with the piece or the track', () => {
    forAllFiles(kind, (file, after) => {
      // A reset of the receiver ends what sounds.
      fc.pre(!file.chunks.some((chunk) => chunk.kind === 'track' && chunk.events.some(isReset)));
      for (const { before, after: group } of toTuned(file, after, kind)) {
        const end = Math.max(...before.map(({ events }) => events[events.length - 1].tick));
        const of = (m: Message): boolean => channelOf(m) !== PERCUSSION;
        const all = before.flatMap(({ events }) => messages(events)).filter(of);
        const offs = all.filter(isOff).map(({ tick }) => tick);
        const unended = all.filter(isOn).length - offs.length;
        const wanted = [...offs, ...new Array<number>(unended).fill(end)].sort((a, b) => a - b);
        const tuned = group.flatMap((track, i) => tunedOf(track, i === group.length - 1, group, before));
        const found = tuned.filter(isOff).map(({ tick }) => tick);
        expect(found.sort((a, b) => a - b)).toEqual(wanted);
      }
    });
  });

  test('leaves metas and SysEx in their tracks, unchanged and in order', () => {
    forAllFiles(kind, (file, after) => {
      const groups = toGroups(file, after, kind);
      tracksOf(file).forEach((track, i) => {
        expect(groups[i][0].events.filter(isKept)).toEqual(track.events.filter(isKept));
      });
    });
  });

  test('leaves percussion unchanged', () => {
    forAllFiles(kind, (file, after) => {
      const groups = toGroups(file, after, kind);
      tracksOf(file).forEach((track, i) => {
        const drums = messages(track.events).filter((m) => channelOf(m) === PERCUSSION);
        if (drums.length > 0) expect(percussionOf(groups[i])).toEqual(drums);
      });
    });
  });

  test('writes rising ticks and the right format, and two readers read the file', () => {
    forAllFiles(kind, (file, after) => {
      for (const { events } of tracksOf(after.file)) {
        for (let i = 1; i < events.length; i++)
          expect(events[i].tick).toBeGreaterThanOrEqual(events[i - 1].tick);
      }
      const count = tracksOf(after.file).length;
      expect(after.file.format).toBe(file.format === 0 && count > 1 ? 1 : file.format);
      if (file.format === 2) expect(count).toBe(tracksOf(file).length);
      const bytes = formatMidiFile(after.file);
      const read = parseMidiFile(bytes);
      expect(read.ok && read.value.warnings).toEqual([]);
      const { header, tracks } = parseMidi(bytes);
      expect(header.format).toBe(after.file.format);
      expect(tracks.length).toBe(count);
      for (const track of tracks) expect(track[track.length - 1].type).toBe('endOfTrack');
    });
  });
});

const toStart = ({ tick, data2 }: Message): string => `${tick} ${data2}`;

/** Every note-on is followed by one note-off of its channel and key before the next one of these, and none is left. */
function expectPaired(track: readonly Message[]): void {
  const down = new Set<number>();
  for (const message of track) {
    const slot = 128 * channelOf(message) + message.data1;
    if (isOn(message)) {
      expect(down.has(slot), `key ${message.data1} twice on channel ${channelOf(message)}`).toBe(false);
      down.add(slot);
    } else if (isOff(message)) {
      expect(down.delete(slot), `note-off for nothing, key ${message.data1}`).toBe(true);
    }
  }
  expect([...down]).toEqual([]);
}

const isReset = (event: TrackEvent): boolean => event.kind === 'sysex' && event.data[0] === 0x7e;

/** Metas, and SysEx but for the tunings that `mts` sends: those are universal real time, which no file here has. */
function isKept(event: TrackEvent): boolean {
  return event.kind === 'meta' || (event.kind === 'sysex' && event.data[0] !== 0x7f);
}

describe('an outlet with fewer channels', () => {
  const outletsOf = (outlet: OutletChoice, check: (file: MidiFile, after: Retuned) => void) =>
    forAll([playing], 300, ({ file, strategy, held, plan }) => {
      check(file, retune(file, { settings: toSettings({ strategy, held }), outlet, plan }));
    });
  const tuned = ({ file, sequences }: Retuned): number[] => {
    if (sequences[0].parts.parts.length === 0) return [];
    return tracksOf(file).flatMap(({ events }) => messages(events).filter(isOn).map(channelOf));
  };

  test('plays on the members of its zone alone, and never drops a note', () => {
    let noteCount = 0;
    outletsOf({ kind: 'mpe', bendRange: undefined, zone: 'upper', members: 3 }, (before, after) => {
      if (before.format === 2) return;
      const notes = tuned(after).filter((channel) => channel !== PERCUSSION);
      noteCount += notes.length;
      expect(notes.every((channel) => channel >= 12 && channel <= 14)).toBe(true);
    });
    expect(noteCount).toBeGreaterThan(amongAll(100));
  });

  test('plays on the channels given alone, and leaves channel 10 to the percussion of the file', () => {
    let withPercussion = 0;
    outletsOf({ kind: 'multichannel', bendRange: undefined, channels: [8, 9, 10] }, (before, after) => {
      const drums = (file: MidiFile): string[] =>
        tracksOf(file)
          .flatMap(({ events }) => messages(events))
          .filter((message) => channelOf(message) === PERCUSSION)
          .map(({ tick, status, data1, data2 }) => [tick, status, data1, data2].join(' '))
          .sort();
      if (before.format === 2 || drums(before).length === 0) return;
      withPercussion++;
      expect(drums(after.file)).toEqual(drums(before));
      expect(tuned(after).every((channel) => channel >= 8 && channel <= 10)).toBe(true);
    });
    expect(withPercussion).toBeGreaterThan(amongAll(5));
  });

  test('takes channel 10 where there is no percussion', () => {
    const notes = [60, 64, 67].map(
      (key): TrackEvent => ({ kind: 'channel', tick: 0, status: 0x90, data1: key, data2: 80 }),
    );
    const outlet = { kind: 'multichannel', bendRange: undefined, channels: [8, 9, 10] } as const;
    const { file } = retune(fileOf(notes), { settings: toSettings({}), outlet, plan: DEFAULT_PLAN });
    const used = tracksOf(file).flatMap(({ events }) => messages(events).filter(isOn).map(channelOf));
    expect(used.sort((a, b) => a - b)).toEqual([8, 9, 10]);
  });

  test('leaves tails alone for as long as the settings say', () => {
    const chord = (tick: number, status: number, keys: number[]): TrackEvent[] =>
      keys.map((key) => ({ kind: 'channel', tick, status, data1: key, data2: 80 }));
    const file = fileOf([
      ...chord(0, 0x90, [60, 64, 67]),
      ...chord(96, 0x80, [60, 64, 67]),
      ...chord(97, 0x90, [62, 65, 69]),
    ]);
    const hurried = (releaseHoldMs: number, format: 0 | 2): number => {
      const outlet = { kind: 'mpe', bendRange: undefined, members: 3, releaseHoldMs } as const;
      const how = { settings: toSettings({}), outlet, plan: DEFAULT_PLAN };
      const { sequences } = retune({ ...file, format }, how);
      return sequences[0].outlets[0].counters.hurriedNotes;
    };
    for (const format of [0, 2] as const) {
      expect(hurried(0, format)).toBe(0);
      expect(hurried(1000, format)).toBeGreaterThan(0);
    }
  });
});
