import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Line } from '../../../src/core/line/index.js';
import {
  createMpe,
  createMts,
  createMultichannel,
  type Outlet,
  PLAIN_CHANNELS,
} from '../../../src/core/outlet/index.js';
import { createTuner, type TunerSettings, toSettings } from '../../../src/core/tuner/index.js';
import { ListSink } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';
import { forAll } from '../../support/properties.js';
import { settings } from '../../support/random-playing.js';
import { SynthModel } from '../../support/synth-model.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;

function open(kind: Outlet['kind'], sink: SynthModel | ListSink): Outlet {
  const bend = { rangeSemitones: 48, releaseHoldMs: 500, sink };
  const outlet =
    kind === 'mpe'
      ? createMpe({ ...bend, zone: 'lower', members: 15 })
      : kind === 'multichannel'
        ? createMultichannel({ ...bend, channels: PLAIN_CHANNELS })
        : createMts({ device: 0x7f, program: 0, channelOf: (part) => part, sink });
  outlet.open();
  return outlet;
}

/** A line into one outlet. */
function lineInto(outlet: Outlet, changes: Partial<TunerSettings> | TunerSettings = {}): Line {
  return new Line(createTuner(toSettings(changes)), () => [outlet]);
}

/** Channel messages of two parts, with waits: keys, velocity-0 note-ons, pedals, wheels, programs and mode messages. */
const messages = fc.array(
  fc.tuple(
    fc.oneof(fc.constant(0), fc.nat(80), fc.constant(1500)),
    fc.nat(1),
    fc.oneof(
      { weight: 5, arbitrary: fc.tuple(fc.constant(0x90), fc.integer({ min: 50, max: 74 }), fc.nat(127)) },
      { weight: 4, arbitrary: fc.tuple(fc.constant(0x80), fc.integer({ min: 50, max: 74 }), fc.nat(127)) },
      { weight: 2, arbitrary: fc.tuple(fc.constant(0xb0), fc.constantFrom(64, 66), fc.constantFrom(0, 127)) },
      { weight: 1, arbitrary: fc.tuple(fc.constant(0xb0), fc.constantFrom(7, 11, 121, 123), fc.constant(0)) },
      { weight: 1, arbitrary: fc.tuple(fc.constant(0xe0), fc.nat(127), fc.nat(127)) },
      { weight: 1, arbitrary: fc.tuple(fc.constant(0xc0), fc.nat(127), fc.constant(0)) },
    ),
  ),
  { minLength: 1, maxLength: 60, size: 'max' },
);

type Messages = typeof messages extends fc.Arbitrary<infer T> ? T : never;

function play(line: Line, played: Messages): number {
  let atMs = 0;
  for (const [waitMs, part, [status, data1, data2]] of played) {
    atMs += waitMs;
    line.message(atMs, part, status, data1, data2);
  }
  return atMs;
}

describe.each(KINDS)('a line into %s', (kind) => {
  test('has a note-off for each note-on, and is silent when pedals and keys are up', () => {
    forAll([settings(), messages], 80, (chosen, played) => {
      const synth = new SynthModel();
      const line = lineInto(open(kind, synth), chosen);
      const endMs = play(line, played);
      for (const part of [0, 1]) {
        line.message(endMs, part, 0xb0, 64, 0);
        line.message(endMs, part, 0xb0, 66, 0);
        line.silence(endMs, part);
      }
      expect(synth.voices).toEqual([]);
      expect(synth.noteOffs).toBe(synth.noteOns);
      const struck = played.filter(([, , [status, , velocity]]) => status === 0x90 && velocity > 0);
      expect(synth.noteOns).toBe(struck.length);
    });
  });

  test('sends the same for the same messages at the same times, whatever time is asked for in between', () => {
    forAll([settings(), messages], 60, (chosen, played) => {
      const sent = [false, true].map((isImpatient) => {
        const sink = new ListSink();
        const line = lineInto(open(kind, sink), chosen);
        let atMs = 0;
        for (const message of played) {
          if (isImpatient) for (let ms = 7; ms < Math.min(message[0], 200); ms += 7) line.time(atMs + ms);
          atMs += message[0];
          const [, part, [status, data1, data2]] = message;
          line.message(atMs, part, status, data1, data2);
        }
        return sink.messages;
      });
      expect(sent[1]).toEqual(sent[0]);
    });
  });
});

describe('Line', () => {
  test('sends a major third bent to 5/4, the bend before its note-on', () => {
    const sink = new ListSink();
    const line = lineInto(open('mpe', sink), { strategy: 'free' });
    line.message(0, 0, 0x90, 60, 90);
    const { length } = sink.messages;
    line.message(400, 0, 0x90, 64, 91);
    // -13.686 c at ±48 semitones: 8192 - 23.36 steps. MPE 1.1, Appendix C.
    expect(sink.messages.slice(length)).toEqual([
      [0xe2, 0x69, 0x3f],
      [0x92, 64, 91],
    ]);
  });

  test('sends the velocity of a note-off as played, and of a note-on with velocity 0 as 64', () => {
    const sink = new ListSink();
    const line = lineInto(open('mpe', sink));
    line.message(0, 0, 0x90, 60, 90);
    line.message(100, 0, 0x80, 60, 17);
    line.message(200, 0, 0x90, 60, 33);
    line.message(300, 0, 0x90, 60, 0);
    const keys = sink.messages
      .filter(([status]) => status < 0xa0)
      .map(([status, key, velocity]) => [status & 0xf0, key, velocity]);
    expect(keys).toEqual(numbers('0x90 60 90, 0x80 60 17, 0x90 60 33, 0x80 60 64'));
  });

  test('sends a pedal before the note-offs it causes, and after what was due before it', () => {
    const stamps: number[] = [];
    const sink = new ListSink();
    const outlet = open('mpe', sink);
    const line = new Line(
      createTuner(toSettings({ strategy: 'anchored', leewayCents: 0 })),
      () => [outlet],
      {},
      (atMs) => stamps.push(atMs),
    );
    line.message(0, 0, 0xb0, 64, 127);
    line.message(0, 0, 0x90, 60, 90);
    line.message(0, 0, 0x90, 64, 90);
    line.message(0, 0, 0x90, 67, 90);
    for (const key of [64, 67]) line.message(500, 0, 0x80, key, 64);
    line.message(500, 0, 0x90, 65, 90);
    const { length } = stamps;
    line.message(1000, 0, 0xb0, 64, 0);
    // What is due on the way goes out at its own time, on the grid of 10 ms, the pedal last.
    const later = stamps.slice(length);
    expect(later.length).toBeGreaterThan(1);
    expect(later).toEqual([...later].sort((a, b) => a - b));
    expect(later.every((ms) => ms === 1000 || (ms > 500 && ms <= 600 && ms % 10 === 0))).toBe(true);
    expect(later[later.length - 1]).toBe(1000);
    const pedal = sink.messages.findLastIndex(([status, controller]) => status === 0xb0 && controller === 64);
    expect(sink.messages[pedal]).toEqual([0xb0, 64, 0]);
  });

  test('reports every decision to its listener after the outlets have sent it', () => {
    const seen: string[] = [];
    const synth = new SynthModel();
    const outlet = open('mpe', synth);
    const line = new Line(createTuner(toSettings({})), () => [outlet], {
      start: (_atMs, note) => seen.push(`start ${note.key}, ${synth.voices.length} sounding`),
      release: (_atMs, note) => seen.push(`release ${note.key}`),
      end: (_atMs, note) => seen.push(`end ${note.key}, ${synth.voices.length} sounding`),
      enter: (entry) => seen.push(entry.kind),
    });
    line.message(0, 0, 0x90, 60, 90);
    line.message(100, 0, 0x90, 64, 90);
    line.message(200, 0, 0x80, 60, 0);
    expect(seen.filter((one) => one !== 'offset')).toEqual(
      'start 60, 1 sounding | start 64, 2 sounding | release 60 | end 60, 1 sounding'.split(' | '),
    );
  });

  test('goes home with the next strike, though the strike before settles only then', () => {
    const line = lineInto(open('mpe', new ListSink()));
    line.message(0, 0, 0x90, 60, 90);
    // Nobody called in between: the strike of 0 ms is settled by the request itself.
    line.take({ kind: 'home', atMs: 100, when: 'next' });
    line.time(200);
    expect(line.tuner.homing).toBe(true);
  });

  test('plays a part through all of its outlets', () => {
    const sinks = [new ListSink(), new ListSink()];
    const outlets = sinks.map((sink) => open('mpe', sink));
    const line = new Line(createTuner(toSettings({})), (part) => (part === 0 ? outlets : []));
    line.message(0, 0, 0x90, 60, 90);
    line.message(0, 1, 0x90, 64, 90);
    line.message(50, 0, 0x80, 60, 64);
    expect(sinks[0].messages).toEqual(sinks[1].messages);
    expect(sinks[0].messages.filter(([status]) => status >> 4 === 9).length).toBe(1);
  });
});

test.each([
  ['a key', false, ['release 0', 'end 0']],
  ['a pedal', true, ['end 0']],
])(
  'a note held by %s ends when a tuner without it takes over, and one of that tuner starts',
  (_by, isPedalled, told) => {
    const out: string[] = [];
    const line = new Line(createTuner(toSettings({})), () => [], {
      start: (_atMs, { id }) => out.push(`start ${id}`),
      release: (_atMs, { id }) => out.push(`release ${id}`),
      end: (_atMs, { id }) => out.push(`end ${id}`),
    });
    if (isPedalled) line.take({ kind: 'pedal', atMs: 0, part: 0, pedal: 'sustain', down: true });
    line.take({ kind: 'note-on', atMs: 0, part: 0, key: 60 });
    if (isPedalled) line.take({ kind: 'note-off', atMs: 200, part: 0, key: 60 });
    const other = createTuner(toSettings({ strategy: 'free' }));
    other.nextId = 7;
    new Line(other, () => []).take({ kind: 'note-on', atMs: 100, part: 0, key: 64 });
    out.length = 0;
    line.adopt(400, other);
    expect(out).toEqual([...told, 'start 7']);
  },
);
