import { expect, test } from 'vitest';
import { Line } from '../../../src/core/line/index.js';
import {
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  type MidiSink,
  NOTE_OFF,
  NOTE_ON,
  PITCH_BEND,
} from '../../../src/core/midi/index.js';
import {
  createMpe,
  createMts,
  createMultichannel,
  type Outlet,
  PacedSink,
  PLAIN_CHANNELS,
} from '../../../src/core/outlet/index.js';
import { createTuner, toSettings } from '../../../src/core/tuner/index.js';
import { DinCable } from '../../support/din-cable.js';
import { createRandom } from '../../support/random.js';

const OUTLETS = {
  mpe: (sink: MidiSink) =>
    createMpe({ sink, zone: 'lower', members: 15, rangeSemitones: 48, releaseHoldMs: 500 }),
  multichannel: (sink: MidiSink) =>
    createMultichannel({ sink, channels: PLAIN_CHANNELS, rangeSemitones: 2, releaseHoldMs: 500 }),
  mts: (sink: MidiSink) => createMts({ sink, device: 0x7f, program: 0, channelOf: () => 0 }),
} as const satisfies Readonly<Record<string, (sink: MidiSink) => Outlet>>;

/** Chords of five, eight a second: forty note-ons and forty note-offs. */
const CHORD_MS = 125;
const VOICES = 5;
const SECONDS = 30;
/** The wheel, the modulation wheel and the pressure each move so often. */
const MOVE_MS = 10;
/** How often a session looks after a cable on which something waits. */
const FLUSH_MS = 2;

/** Plays chords while all of it moves. @returns how long each note-on took, in the order they were struck */
function play(kind: keyof typeof OUTLETS): readonly number[] {
  const cable = new DinCable();
  const paced = new PacedSink(cable);
  const outlet = OUTLETS[kind](paced);
  outlet.open();
  paced.finish();
  cable.atMs = 0;
  cable.freeMs = 0;
  const line = new Line(createTuner(toSettings({ strategy: 'pull' })), () => [outlet]);
  const random = createRandom(7);
  let keys: number[] = [];
  const message = (status: number, data1: number, data2: number) => {
    line.message(cable.atMs, 0, status, data1, data2);
    paced.flush(cable.atMs);
  };
  for (let atMs = 0; atMs < 1000 * SECONDS; atMs++) {
    cable.atMs = atMs;
    if (atMs % MOVE_MS === 0) {
      const value = random(128);
      message(PITCH_BEND, 0, value);
      message(CONTROL_CHANGE, CC.modulation, value);
      message(CHANNEL_PRESSURE, value, 0);
    }
    if (atMs % CHORD_MS === 0) {
      const before = keys;
      const root = 36 + random(24);
      keys = [0, 7, 16, 24, 31].slice(0, VOICES).map((above) => root + above);
      for (const key of before) message(NOTE_OFF, key, 0);
      for (const key of keys) message(NOTE_ON, key, 80);
    }
    if (atMs % FLUSH_MS === 0) {
      line.time(atMs);
      paced.flush(atMs);
    }
  }
  return cable.noteMs;
}

/** What note-ons and note-offs alone would take. */
function toOwnMs(index: number): number {
  const isFirst = index < VOICES;
  return (3 * ((isFirst ? 0 : VOICES) + (index % VOICES) + 1)) / 3.125;
}

function toQuantile(sorted: readonly number[], share: number): number {
  return sorted[Math.floor(share * (sorted.length - 1))];
}

// The bounds in milliseconds: half of the note-ons, and 99 of 100. `mts` sends twelve bytes before a note that is tuned.
test.each([
  ['mpe', 10, 25],
  ['multichannel', 10, 25],
  ['mts', 20, 25],
] as const)(
  'on a DIN cable with wheels and pressure moving, note-ons of %s wait %d ms and at most %d',
  (kind, median, p99) => {
    const noteMs = play(kind);
    const waits = noteMs.map((ms, i) => ms - toOwnMs(i)).sort((a, b) => a - b);
    expect(waits).toHaveLength((VOICES * 1000 * SECONDS) / CHORD_MS);
    expect(toQuantile(waits, 0.5)).toBeLessThanOrEqual(median);
    expect(toQuantile(waits, 0.99)).toBeLessThanOrEqual(p99);
  },
);
