import fc from 'fast-check';
import { type MidiEvent, parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { retune } from '../../src/app/retune.js';
import type { TrackRole } from '../../src/app/track-roles.js';
import {
  formatMidiFile,
  type MidiFile,
  type Track,
  type TrackEvent,
  tracksOf,
} from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, type Planning, type Role } from '../../src/core/score/index.js';
import { STRATEGIES, type Strategy, toSettings } from '../../src/core/tuner/index.js';
import { BASS, CHOIR, EQUAL, voice } from '../support/choir.js';
import { musicalFile } from '../support/musical-files.js';
import { amongAll, forAll } from '../support/properties.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;
const MEANTONE = [0, -24, -7, 10, -14, 3, -21, -3, -27, -10, 7, -17];

type Message = TrackEvent & { kind: 'channel' };

const rule: fc.Arbitrary<TrackRole> = fc
  .record({
    number: fc.option(fc.integer({ min: 0, max: 3 }), { nil: undefined }),
    channels: fc.option(fc.uniqueArray(fc.constantFrom(0, 1, 9, 12), { minLength: 1 }), { nil: undefined }),
    role: fc.constantFrom<Role>('tuned', 'fixed', 'guide', 'untuned'),
    fixedCents: fc.constantFrom(EQUAL, MEANTONE),
  })
  .map(({ fixedCents, ...rest }) => (rest.role === 'fixed' ? { ...rest, fixedCents } : rest));

const playing = fc.record({
  file: musicalFile,
  roles: fc.array(rule, { minLength: 1, maxLength: 4 }),
  kind: fc.constantFrom(...KINDS),
  strategy: fc.constantFrom<Strategy>(...STRATEGIES),
  plan: fc.constantFrom<Planning>('live', DEFAULT_PLAN, { end: 'home', smoothSeconds: 0 }),
});

/** What a channel of a track is, by the rules as they are written. */
function roleOf(roles: readonly TrackRole[], track: number, channel: number): Role {
  for (const { number, channels, role } of roles) {
    if (number !== undefined && number !== track) continue;
    if (channels === undefined ? channel !== 9 : channels.includes(channel)) return role;
  }
  return channel === 9 ? 'untuned' : 'tuned';
}

const messagesOf = ({ events }: Track): Message[] => events.filter((event) => event.kind === 'channel');
const channelOf = ({ status }: Message): number => status & 0x0f;
const isNote = ({ status }: Message): boolean => (status & 0xe0) === 0x80;
const isOn = ({ status, data2 }: Message): boolean => (status & 0xf0) === 0x90 && data2 > 0;
const toText = ({ tick, status, data1, data2 }: Message): string => [tick, status, data1, data2].join(' ');

/** The channels of a track that play, with their roles. */
function playersOf(track: Track, index: number, roles: readonly TrackRole[]): Map<number, Role> {
  const channels = new Set(messagesOf(track).filter(isOn).map(channelOf));
  return new Map([...channels].map((channel) => [channel, roleOf(roles, index, channel)]));
}

/** The output tracks of each input track: with its metas, and with what isn't tuned of it. */
function toOutputs(
  file: MidiFile,
  after: MidiFile,
  kind: string,
  roles: readonly TrackRole[],
): { home: Track; passing: Track }[] {
  const out = tracksOf(after);
  let at = 0;
  return tracksOf(file).map((track, index) => {
    if (file.format === 2 || kind === 'multichannel') return { home: out[index], passing: out[index] };
    const players = playersOf(track, index, roles);
    const tuned = [...players.values()].filter((role) => role === 'tuned').length;
    const hasOthers = messagesOf(track).some((message) => {
      const role = players.get(channelOf(message));
      return role !== 'tuned' && !(role === 'guide' && isNote(message));
    });
    const isSplit = tuned > 0 && hasOthers;
    const home = out[at];
    at += Math.max(1, tuned) + (isSplit ? 1 : 0);
    return { home, passing: isSplit ? out[at - 1] : home };
  });
}

const retuneIn = ({
  file,
  roles,
  kind,
  strategy,
  plan,
}: typeof playing extends fc.Arbitrary<infer T> ? T : never) =>
  retune(file, { settings: toSettings({ strategy }), outlet: { kind, bendRange: undefined }, plan, roles });

describe('the roles of tracks, whatever they are', () => {
  test('leave untuned messages as they were, in their order, and fixed ones at their ticks', () => {
    const counts = { untuned: 0, fixed: 0 };
    forAll([playing], 400, (one) => {
      const after = retuneIn(one);
      const outputs = toOutputs(one.file, after.file, one.kind, one.roles);
      tracksOf(one.file).forEach((track, index) => {
        for (const [channel, role] of playersOf(track, index, one.roles)) {
          if (role !== 'untuned' && role !== 'fixed') continue;
          counts[role]++;
          const before = messagesOf(track)
            .filter((message) => channelOf(message) === channel)
            .map(toText);
          const found = messagesOf(outputs[index].passing).filter(
            (message) => channelOf(message) === channel,
          );
          if (role === 'untuned') expect(found.map(toText)).toEqual(before);
          else expect(found.map(toText).sort()).toEqual(before.sort());
        }
      });
    });
    expect(Math.min(counts.untuned, counts.fixed)).toBeGreaterThan(amongAll(50));
  });

  test("leave out a guide's notes and nothing else, as another reader finds", () => {
    let guided = 0;
    forAll([playing], 400, (one) => {
      const wanted = tracksOf(one.file).flatMap((track, index) => {
        const players = playersOf(track, index, one.roles);
        const ons = messagesOf(track).filter(isOn);
        const kept = ons.filter((message) => players.get(channelOf(message)) !== 'guide');
        guided += ons.length - kept.length;
        return kept.map(({ tick, data2 }) => `${tick} ${data2}`);
      });
      const { tracks } = parseMidi(formatMidiFile(retuneIn(one).file));
      const found = tracks.flatMap((events) => {
        let tick = 0;
        return events.flatMap((event: MidiEvent) => {
          tick += event.deltaTime;
          return event.type === 'noteOn' ? [`${tick} ${event.velocity}`] : [];
        });
      });
      expect(found.sort()).toEqual(wanted.sort());
    });
    expect(guided).toBeGreaterThan(amongAll(100));
  });

  test('give every tuned note its note-off', () => {
    forAll([playing], 400, (one) => {
      const { file, roles } = one;
      // What isn't tuned may have notes without an end, and has them afterwards.
      const endless = tracksOf(file).reduce((sum, track, index) => {
        const players = playersOf(track, index, roles);
        const passes = (channel: number) => /untuned|fixed/.test(players.get(channel) ?? '');
        return sum + countEndless(messagesOf(track).filter((message) => passes(channelOf(message))));
      }, 0);
      const after = retuneIn(one).file;
      expect(tracksOf(after).reduce((sum, track) => sum + countEndless(messagesOf(track)), 0)).toBe(endless);
    });
  });

  test('leave metas and SysEx in their tracks, unchanged and in order', () => {
    // SysEx of `mts` itself is universal real time, which no file here has.
    const isKept = (event: TrackEvent) =>
      event.kind === 'meta' || (event.kind === 'sysex' && event.data[0] !== 0x7f);
    forAll([playing], 150, (one) => {
      const outputs = toOutputs(one.file, retuneIn(one).file, one.kind, one.roles);
      tracksOf(one.file).forEach(({ events }, index) => {
        expect(outputs[index].home.events.filter(isKept)).toEqual(events.filter(isKept));
      });
    });
  });
});

/** Notes that no note-off follows. */
function countEndless(messages: readonly Message[]): number {
  const down = new Map<number, number>();
  for (const message of messages) {
    if (!isNote(message)) continue;
    const slot = 128 * channelOf(message) + message.data1;
    const before = down.get(slot) ?? 0;
    down.set(slot, isOn(message) ? before + 1 : Math.max(0, before - 1));
  }
  return [...down.values()].reduce((sum, count) => sum + count, 0);
}

describe.each(STRATEGIES)('a fixed bass under %s', (strategy) => {
  test.each(['live', DEFAULT_PLAN] as const)('is what every chord is pure to, tuned by %j', (plan) => {
    const sounding: { key: number; cents: number }[] = [];
    const settings = toSettings({ strategy });
    const options = { settings, outlet: { kind: 'mpe', bendRange: undefined }, plan, roles: [BASS] } as const;
    const { sequences } = retune(CHOIR, options, {
      // Once its glides are over.
      end: (_, { key, reportedCents }) => sounding.push({ key, cents: reportedCents }),
    });
    expect(sequences[0].noteCounts).toEqual([5, 5, 5]);
    for (let chord = 0; chord < 5; chord++) {
      const notes = sounding.slice(3 * chord, 3 * chord + 3).sort((a, b) => a.key - b.key);
      expect(notes[0].cents).toBe(100 * notes[0].key);
      for (const { key, cents } of notes) {
        const just = [0, 111.731, 203.91, 315.641, 386.314, 498.045, 590.224, 701.955, 813.686, 884.359];
        const keys = key - notes[0].key;
        expect(cents - notes[0].cents).toBeCloseTo(1200 * Math.floor(keys / 12) + just[keys % 12], 2);
      }
    }
    const { ending } = sequences[0];
    expect(Math.abs(ending?.fromHomeCents ?? 99)).toBeLessThan(8);
  });
});

test('a planned piece is pure to the new bass where the old one is lifted late', () => {
  const [upper, middle, bass] = tracksOf(CHOIR);
  // 42 ms: a finger that leaves its key when the next is down.
  const late = bass.events
    .map((event) => (event.kind === 'channel' && !isOn(event) ? { ...event, tick: event.tick + 8 } : event))
    .sort((a, b) => a.tick - b.tick);
  const file: MidiFile = { ...CHOIR, chunks: [upper, middle, { kind: 'track', events: late }] };
  const sounding: { key: number; part: number; cents: number }[] = [];
  const options = {
    settings: toSettings({ strategy: 'free' }),
    outlet: { kind: 'mpe', bendRange: undefined },
    plan: DEFAULT_PLAN,
    roles: [BASS],
  } as const;
  retune(file, options, {
    end: (_, { key, part, reportedCents }) => sounding.push({ key, part, cents: reportedCents }),
  });
  const [tenors, basses] = [1, 2].map((part) => sounding.filter((note) => note.part === part));
  const tenths = tenors.map(({ cents }, i) => cents - basses[i].cents);
  const just = [1586.314, 1901.955, 1515.641, 2400, 1901.955];
  for (const [i, cents] of tenths.entries()) expect(cents).toBeCloseTo(just[i], 2);
});

test('a plain outlet keeps off the channels of what is not tuned, and says so where none is left', () => {
  const outlet = { kind: 'multichannel', bendRange: undefined, channels: [0, 2, 3] } as const;
  const options = { settings: toSettings({}), outlet, plan: DEFAULT_PLAN };
  const used = (roles: readonly TrackRole[]) => {
    const tuned = tracksOf(retune(CHOIR, { ...options, roles }).file).at(-1)!;
    return new Set(messagesOf(tuned).map(channelOf));
  };
  expect(used([]).has(3)).toBe(true);
  expect([...used([BASS])].sort()).toEqual([0, 2]);
  const crowded = { ...outlet, channels: [3] };
  expect(() => retune(CHOIR, { ...options, outlet: crowded, roles: [BASS] })).toThrow(
    /No channel is left.*channel 4/,
  );
  const none = [{ role: 'fixed', fixedCents: EQUAL }] as const;
  expect(() => retune(CHOIR, { ...options, outlet: crowded, roles: none })).not.toThrow();
});

test('channel 10 is tuned where a role says so', () => {
  const drums: MidiFile = { ...CHOIR, chunks: [voice('Bells', 9, [60, 64, 67])] };
  const options = {
    settings: toSettings({}),
    outlet: { kind: 'mpe', bendRange: undefined },
    plan: DEFAULT_PLAN,
  } as const;
  expect(retune(drums, options).sequences[0].parts.parts).toEqual([]);
  const roles = [{ channels: [9], role: 'tuned' }] as const;
  expect(retune(drums, { ...options, roles }).sequences[0].noteCounts).toEqual([3]);
});

test('what is untuned keeps its order within a tick, where note-offs of others go first', () => {
  const legato = (channel: number): Track => ({
    kind: 'track',
    events: [
      [0, 0x90, 60],
      [96, 0x90, 62],
      [96, 0x80, 60],
      [192, 0x80, 62],
    ].map(([tick, status, data1]) => ({ kind: 'channel', tick, status: status | channel, data1, data2: 64 })),
  });
  const file: MidiFile = { ...CHOIR, chunks: [legato(0), legato(1)] };
  const outlet = { kind: 'mpe', bendRange: undefined } as const;
  const roles = [{ number: 0, role: 'untuned' }] as const;
  const after = tracksOf(retune(file, { settings: toSettings({}), outlet, plan: DEFAULT_PLAN, roles }).file);
  const [untuned, tuned] = after.map((track) =>
    messagesOf(track).filter((one) => isNote(one) && one.tick === 96),
  );
  expect(untuned.map(isOn)).toEqual([true, false]);
  expect(tuned.map(isOn)).toEqual([false, true]);
});
