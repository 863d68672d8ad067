import { toHeadroom } from '../../src/app/live/headroom.js';
import { DEFAULT_INPUT, DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../src/app/live/live-settings.js';
import { type NamedPiece, PieceStretch } from '../../src/app/live/piece-stretch.js';
import { Incoming, SentMemory } from '../../src/app/live/sent-memory.js';
import type { MidiFile, MidiSink } from '../../src/core/midi/index.js';
import { dataLength, toMetreMap, toTempoMap, tracksOf } from '../../src/core/midi/index.js';
import type { SessionFacts } from '../../src/core/monitor/session-messages.js';
import { ChannelState, UNSET } from '../../src/core/outlet/channel-state.js';
import { NO_EXPRESSION } from '../../src/core/outlet/fingers.js';
import { createControllerChannel, createMember } from '../../src/core/outlet/member.js';
import { DownNotes } from '../../src/core/outlet/member-notes.js';
import { createCounters } from '../../src/core/outlet/outlet.js';
import { toTuning } from '../../src/core/outlet/tuning-word.js';
import { toPiece } from '../../src/core/score/piece.js';
import { type Pump, parseFormula, toPump } from '../../src/core/score/pump/index.js';
import { SETTINGS } from '../../src/core/settings/index.js';
import { formatRatio, ratio, toVoice, UNISON } from '../../src/core/theory/index.js';
import { toConsonances } from '../../src/core/tuner/consonance.js';
import {
  createTuner,
  DEFAULT_SETTINGS,
  type SoundingNote,
  step,
  type Tuner,
  type TunerOut,
  toSettings,
} from '../../src/core/tuner/index.js';
import { formatBytes } from './example-values.js';
import { numbers } from './numbers.js';

/** What examples may name without making it: made afresh for each example, when it is asked for. */
export function createFixtures() {
  const sink = new ExampleSink();
  return {
    ratio,
    formatRatio,
    UNISON,
    toConsonances,
    DEFAULT_SETTINGS,
    DEFAULT_LIVE_SETTINGS,
    DEFAULT_INPUT,
    DEFAULT_OUTLET,
    toHeadroom,
    SETTINGS,
    tracksOf,
    toMetreMap,
    toTempoMap,
    toVoice,
    createMember,
    createControllerChannel,
    ChannelState,
    UNSET,
    NO_EXPRESSION,
    createCounters,
    DownNotes,
    Incoming,
    SentMemory,
    toTuning,
    /** A piece of one note, 5 s long, and all of it to be played. */
    piece: PIECE,
    stretch: new PieceStretch(PIECE),
    /** A MIDI sink; `sent` is what it was given, as `90 3C 40`. */
    sink,
    /** Hears nothing of what a channel bank tells. */
    bankListener: new Proxy({}, { get: () => () => undefined }),
    /** What a tuner tells; `started` are the keys of the notes it started. */
    out: new ExampleOut(),
    /** Format 0, 96 ticks a quarter note, 120 quarter notes a minute, 4/4; one note, middle C, of ten quarter notes. */
    file: FILE,
    /** What a live session says of itself. */
    session: SESSION,
    /** I vi ii V on C. */
    get pump(): Pump {
      const formula = parseFormula('I vi ii V', { keyClass: 0, fifths: 0 });
      const pump = formula.ok ? toPump(formula.value) : formula;
      if (!pump.ok) throw new Error(pump.problem.message);
      return pump.value;
    },
    /** From C to A by a third and a fourth, as a sheet derives it. */
    derivation: {
      start: 'C⁰',
      moves: [
        { name: 'E⁻¹', ratio: ratio('5/4') },
        { name: 'A⁻¹', ratio: ratio('4/3') },
      ],
    },
    /** A tuner with the strategy `free` that has heard I vi ii V I on C, common tones held; the last chord sounds. */
    get pumpedTuner(): Tuner {
      const tuner = createTuner(toSettings({ strategy: 'free' }));
      const chords = numbers('48 64 67 72, 45 64 69 72, 50 65 69 74, 43 67 71 74, 48 64 67 72');
      let down: number[] = [];
      chords.forEach((keys, i) => {
        const atMs = 1000 * i;
        for (const key of down.filter((one) => !keys.includes(one))) {
          step(tuner, { kind: 'note-off', atMs, part: 0, key, velocity: 64 }, this.out);
        }
        for (const key of keys.filter((one) => !down.includes(one))) {
          step(tuner, { kind: 'note-on', atMs, part: 0, key, velocity: 80 }, this.out);
        }
        down = keys;
      });
      step(tuner, { kind: 'time', atMs: 4500 }, this.out);
      return tuner;
    },
  };
}

class ExampleSink implements MidiSink {
  sent: string[] = [];

  channel(status: number, data1: number, data2: number): void {
    this.sent.push(formatBytes([status, data1, data2].slice(0, 1 + dataLength(status))));
  }

  system(bytes: Uint8Array): void {
    this.sent.push(formatBytes(bytes));
  }

  clear(): void {
    this.sent = [];
  }
}

class ExampleOut implements TunerOut {
  readonly started: number[] = [];

  start(_atMs: number, { key }: Readonly<SoundingNote>): void {
    this.started.push(key);
  }

  retune(): void {}
  release(): void {}
  end(): void {}
  enter(): void {}
}

const FILE: MidiFile = {
  format: 0,
  division: { kind: 'ppq', ticksPerQuarter: 96 },
  headerExtra: new Uint8Array(0),
  chunks: [
    {
      kind: 'track',
      events: [
        { kind: 'channel', tick: 0, status: 0x90, data1: 60, data2: 80 },
        { kind: 'channel', tick: 960, status: 0x80, data1: 60, data2: 64 },
      ],
    },
  ],
  wrapper: 'none',
};

const PIECE: NamedPiece = { ...toPiece(FILE), name: 'note' };

const SESSION: SessionFacts = {
  leewayCents: { pull: 2, anchored: 8 },
  bypass: false,
  stories: [],
  inputs: ['Keys'],
  outputs: ['Synth'],
  addresses: [],
  carries: 'channel and bend',
};
