import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { retune } from '../../src/app/retune.js';
import { formatMidiFile, type TrackEvent } from '../../src/core/midi/index.js';
import { equal, formatComma, power, ratio, toCents } from '../../src/core/theory/index.js';
import { DEFAULT_WEIGHTS, scale, toDrift, toReturned, toSettings } from '../../src/core/tuner/index.js';
import { keysOf, Playing } from '../support/play.js';

interface Pump {
  readonly name: string;
  /** Where each came from. */
  readonly source: string;
  readonly limit: 5 | 7;
  /** What one pass moves the tonic by. */
  readonly drift: string;
  /** Chords of one pass; after the last the first comes back. Keys two neighbours share are tied… */
  readonly chords: readonly string[];
  /** …unless the keys tied into each chord are given here, the first chord's coming back last. */
  readonly ties?: readonly string[];
}

const PRACTICE = 'common practice';
const ENCYCLOPAEDIA = 'web encyclopaedia, page "Comma pump"';
const SEVENTHS = 'product of the moves: F as seventh of G7 against F as root';

const PUMPS: readonly Pump[] = [
  ['I–vi–ii–V–I', PRACTICE, 5, '80/81', ['C4 E4 G4', 'C4 E4 A4', 'D4 F4 A4', 'D4 G4 B4']],
  ['I–IV–ii–V–I', 'Huygens, 17th century', 5, '80/81', ['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4', 'D4 G4 B4']],
  ['I–V–ii–vi–I', PRACTICE, 5, '81/80', ['C4 E4 G4', 'D4 G4 B4', 'D4 F4 A4', 'C4 E4 A4']],
  ['the melody C G D A E C', ENCYCLOPAEDIA, 5, '81/80', ['C4 G4', 'D4 G4', 'D4 A4', 'E4 A4', 'C4 E4']],
  ['the held soprano of a 16th-century puzzle', PRACTICE, 5, '81/80', ['C4 G4', 'D4 G4', 'D4 A4', 'C4 A4']],
  ['three major thirds up', ENCYCLOPAEDIA, 5, '125/128', ['C4 E4', 'E4 G#4', 'C4 G#4']],
  ['three major triads up', ENCYCLOPAEDIA, 5, '125/128', ['C4 E4 G4', 'E4 G#4 B4', 'C4 D#4 G#4']],
  ['three major thirds down', 'inverse', 5, '128/125', ['C4 G#4', 'E4 G#4', 'C4 E4']],
  ['four minor thirds up', ENCYCLOPAEDIA, 5, '648/625', ['C4 Eb4', 'Eb4 Gb4', 'Gb4 A4', 'C4 A4']],
  ['four minor thirds down', 'inverse', 5, '625/648', ['C4 A4', 'Gb4 A4', 'Eb4 Gb4', 'C4 Eb4']],
  ['twelve fifths up', ENCYCLOPAEDIA, 5, '531441/524288', toCircle(7)],
  ['twelve fourths up', 'inverse', 5, '524288/531441', toCircle(5)],
  ['C7–F7–G7–C7', SEVENTHS, 7, '64/63', ['C4 E4 G4 Bb4', 'C4 Eb4 F4 A4', 'D4 F4 G4 B4']],
  [
    '7/5 reread as 10/7, the seventh held',
    'enharmonic swap of the tritone',
    7,
    '49/50',
    ['C4 E4 G4 Bb4', 'C#4 E4 F#4 A#4'],
    ['A#4', 'E4'],
  ],
  [
    '7/5 reread as 10/7, the third held',
    'enharmonic swap of the tritone',
    7,
    '50/49',
    ['C4 E4 G4 Bb4', 'C#4 E4 F#4 A#4'],
    ['E4', 'Bb4'],
  ],
].map(([name, source, limit, drift, chords, ties]) => ({ name, source, limit, drift, chords, ties }) as Pump);

/** Two notes at a time, each held under the next, so many keys up (modulo an octave), until the first comes back. */
function toCircle(step: number): string[] {
  const names = ['C4', 'C#4', 'D4', 'Eb4', 'E4', 'F4', 'F#4', 'G4', 'G#4', 'A4', 'Bb4', 'B4'];
  return names.map((_, i) => `${names[(step * i) % 12]} ${names[(step * (i + 1)) % 12]}`);
}

/** The literature's chains know no memory: only what is tied binds. */
const { prices } = DEFAULT_WEIGHTS;
const NO_MEMORY = {
  ...DEFAULT_WEIGHTS,
  prices: { ...prices, recent: scale(prices.recent, 0), lasting: scale(prices.lasting, 0) },
};

/** Chords of a whole performance with the keys tied into each, moved by octaves so that far drift stays on the keys. */
function toPerformance(pump: Pump, passes: number, octaves = 0): { keys: number[]; tied: number[] }[] {
  const move = (names: string) => keysOf(names).map((key) => key + 12 * octaves);
  const steps = pump.chords.map((_, i) => {
    const names = pump.chords[(i + 1) % pump.chords.length];
    return { keys: move(names), tied: move(pump.ties?.[i] ?? names) };
  });
  const opening = { keys: move(pump.chords[0]), tied: [] };
  return [opening, ...Array.from({ length: passes }, () => steps).flat()];
}

/** Plays passes on a tuner and expects the exact drift, of the tonic and of the whole. */
function expectDrift(pump: Pump, passes: number, playing: Playing, holdMs?: number): void {
  for (const { keys, tied } of toPerformance(pump, passes)) playing.chord(keys, tied, holdMs);
  const expected = power(ratio(pump.drift), passes);
  const found = toReturned(playing.tuner.ledger, 0);
  expect(equal(found, expected), `${found} against ${expected}`).toBe(true);
  const { commas, backCents } = toDrift(playing.tuner);
  expect(equal(commas, expected), `${commas} against ${expected}`).toBe(true);
  expect(backCents).toBe(0);
}

describe.each(PUMPS)('the pump $name ($source)', (pump) => {
  const { limit } = pump;

  test.each([1, 2, 9, 100])(`drifts by exactly ${pump.drift} a pass, after %i passes`, (passes) => {
    expectDrift(pump, passes, new Playing({ strategy: 'free', limit, weights: NO_MEMORY }));
  });

  test('drifts by the same with the default weights, once chords are held until earlier ones have faded', () => {
    expectDrift(pump, 5, new Playing({ strategy: 'free', limit }), 15_000);
  });

  test.each(['mpe', 'multichannel'] as const)('is right in the file after 100 passes: %s', (kind) => {
    const octaves = toCents(ratio(pump.drift)) < 0 ? 2 : -2;
    const events = toEvents(toPerformance(pump, 100, octaves));
    const settings = toSettings({ strategy: 'free', limit, weights: NO_MEMORY });
    const exact = new Map<number, { cents: number; key: number }>();
    const { file } = retune(
      {
        format: 0,
        division: { kind: 'ppq', ticksPerQuarter: 480 },
        headerExtra: new Uint8Array(0),
        chunks: [{ kind: 'track', events }],
        wrapper: 'none',
      },
      { settings, outlet: { kind, bendRange: undefined }, plan: 'live' },
      {
        start: (_atMs, note, cents) => exact.set(note.id, { cents, key: note.key }),
        retune: (_atMs, note, cents) => exact.set(note.id, { cents, key: note.key }),
      },
    );
    const heard = readPitches(formatMidiFile(file));
    const wanted = [...exact.values()];
    expect(heard.length).toBe(wanted.length);
    let worst = 0;
    heard.forEach(({ cents, stepCents }, i) => {
      worst = Math.max(worst, Math.abs(cents - wanted[i].cents) / stepCents);
    });
    expect(worst).toBeLessThanOrEqual(0.5 + 1e-6);

    const tonic = wanted.map(({ key }, i) => (key % 12 === 0 ? i : -1)).filter((i) => i >= 0);
    const [first, last] = [tonic[0], tonic[tonic.length - 1]];
    const moved = heard[last].cents - heard[first].cents - 100 * (wanted[last].key - wanted[first].key);
    const passed = 100 * toCents(ratio(pump.drift));
    expect(Math.abs(moved - passed)).toBeLessThanOrEqual(heard[last].stepCents);
  });
});

test('I–vi–ii–V–I steps by one comma a pass, at V, and has its exact drift after any chord', () => {
  const [pump] = PUMPS;
  const playing = new Playing({ strategy: 'free' });
  const [opening, ...rest] = toPerformance(pump, 10, 2);
  playing.chord(opening.keys, opening.tied, 4000);
  rest.forEach(({ keys, tied }, i) => {
    playing.chord(keys, tied, 4000);
    // vi, ii, V, I: the step of the pass has been made at V.
    const steps = Math.floor(i / 4) + (i % 4 >= 2 ? 1 : 0);
    const { commas, leftCents } = toDrift(playing.tuner);
    expect(equal(commas, power(ratio('80/81'), steps))).toBe(true);
    expect(leftCents).toBeCloseTo(-21.5063 * steps, 3);
    const words = steps === 0 ? 'none' : `−${steps} syntonic comma${steps === 1 ? '' : 's'}`;
    expect(formatComma(commas)).toBe(words);
  });
  const entries = playing.telling.entries.filter((entry) => entry.kind === 'drift');
  expect(entries).toHaveLength(10);
  expect(entries.map(({ atMs }) => (atMs / 4000) % 4)).toEqual(Array(10).fill(3));
  for (const { key, byKey } of entries) expect([key % 12, byKey! % 12]).toEqual([7, 2]);
});

/** The track of a performance: half a second a chord, at 120 a minute. */
function toEvents(performance: readonly { keys: number[]; tied: number[] }[]): TrackEvent[] {
  const events: TrackEvent[] = [];
  let down: number[] = [];
  performance.forEach(({ keys, tied }, i) => {
    const tick = 480 * i;
    const kept = down.filter((key) => keys.includes(key) && tied.includes(key));
    for (const data1 of down) {
      if (!kept.includes(data1)) events.push({ kind: 'channel', tick, status: 0x80, data1, data2: 64 });
    }
    for (const data1 of keys) {
      if (!kept.includes(data1)) events.push({ kind: 'channel', tick, status: 0x90, data1, data2: 90 });
    }
    down = keys;
  });
  const tick = 480 * performance.length;
  for (const data1 of down) events.push({ kind: 'channel', tick, status: 0x80, data1, data2: 64 });
  events.push({ kind: 'meta', tick, type: 0x2f, data: new Uint8Array(0) });
  return events;
}

/** What a file sounds, note by note in the order they start: the pitch each ends on, and the step its channel bends by. */
function readPitches(bytes: Uint8Array): { cents: number; stepCents: number }[] {
  const bends = new Array<number>(16).fill(0);
  const ranges = new Array<number>(16).fill(2);
  const parameters = Array.from({ length: 16 }, () => [127, 127]);
  const notes: { channel: number; key: number; isDown: boolean; cents: number; stepCents: number }[] = [];
  const sound = (channel: number) => {
    for (const note of notes) {
      if (note.channel !== channel || !note.isDown) continue;
      note.cents = 100 * note.key + (bends[channel] * 100 * ranges[channel]) / 8192;
      note.stepCents = (100 * ranges[channel]) / 8192;
    }
  };
  for (const event of parseMidi(bytes).tracks.flat()) {
    if (event.type === 'noteOn') {
      const { channel, noteNumber: key } = event;
      notes.push({ channel, key, isDown: true, cents: 0, stepCents: 0 });
      sound(channel);
    } else if (event.type === 'noteOff') {
      const note = notes.find((n) => n.isDown && n.channel === event.channel && n.key === event.noteNumber);
      expect(note, `a note for the note-off of key ${event.noteNumber}`).toBeDefined();
      if (note !== undefined) note.isDown = false;
    } else if (event.type === 'pitchBend') {
      bends[event.channel] = event.value;
      sound(event.channel);
    } else if (event.type === 'controller') {
      const { channel, controllerType, value } = event;
      if (controllerType === 101) parameters[channel][0] = value;
      if (controllerType === 100) parameters[channel][1] = value;
      if (controllerType === 6 && parameters[channel].every((half) => half === 0)) ranges[channel] = value;
    }
  }
  return notes;
}
