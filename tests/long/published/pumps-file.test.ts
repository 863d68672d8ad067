import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { retune } from '../../../src/app/retune.js';
import { formatMidiFile, type MidiFile, type TrackEvent } from '../../../src/core/midi/index.js';
import { toDeviationCents } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { keysOf } from '../../support/play.js';
import { PUMPS, type Pump, pumpPoint } from '../../support/pumps.js';
import { SynthModel } from '../../support/synth-model.js';

/** At 120 beats a minute two seconds a chord. */
const CHORD_TICKS = 4 * 96;
const PASSES = 100;

/** The pump as a file: a track of its own for the notes, common tones written as one long note. */
function toFile(pump: Pump): MidiFile {
  const events: TrackEvent[] = [];
  let down: number[] = [];
  const chordCount = PASSES * pump.chords.length + 1;
  for (let i = 0; i < chordCount; i++) {
    const tick = i * CHORD_TICKS;
    const { keys: names, tied } = pump.chords[i % pump.chords.length];
    const keys = keysOf(names);
    const kept = down.filter(
      (key) => keys.includes(key) && (tied === undefined || keysOf(tied).includes(key)),
    );
    for (const key of down.filter((one) => !kept.includes(one))) events.push(channel(tick, 0x80, key));
    for (const key of keys.filter((one) => !kept.includes(one))) events.push(channel(tick, 0x90, key));
    down = keys;
  }
  const end = chordCount * CHORD_TICKS;
  for (const key of down) events.push(channel(end, 0x80, key));
  events.push({ kind: 'meta', tick: end, type: 0x2f, data: new Uint8Array(0) });
  return {
    format: 1,
    division: { kind: 'ppq', ticksPerQuarter: 96 },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track', events }],
    wrapper: 'none',
  };
}

function channel(tick: number, status: number, key: number): TrackEvent {
  return { kind: 'channel', tick, status, data1: key, data2: 64 };
}

/** Plays the bytes of a file's tracks, read by the `midi-file` package, into a model receiver up to each asked tick. */
function listen(bytes: Uint8Array, atTicks: readonly number[]): { chords: number[][]; faults: string[] } {
  const { tracks } = parseMidi(bytes);
  const timed = tracks.flatMap((track) => {
    let tick = 0;
    return track.map((event) => {
      tick += event.deltaTime;
      return { tick, event };
    });
  });
  timed.sort((a, b) => a.tick - b.tick);
  const synth = new SynthModel();
  const chords: number[][] = [];
  for (const { tick, event } of timed) {
    while (chords.length < atTicks.length && tick > atTicks[chords.length]) chords.push(sounding(synth));
    switch (event.type) {
      case 'noteOn':
        synth.channel(0x90 | event.channel, event.noteNumber, event.velocity);
        break;
      case 'noteOff':
        synth.channel(0x80 | event.channel, event.noteNumber, event.velocity);
        break;
      case 'controller':
        synth.channel(0xb0 | event.channel, event.controllerType, event.value);
        break;
      case 'pitchBend':
        synth.channel(0xe0 | event.channel, (event.value + 8192) & 0x7f, (event.value + 8192) >> 7);
        break;
    }
  }
  return { chords, faults: synth.faults };
}

function sounding(synth: SynthModel): number[] {
  return synth.voices.map((voice) => synth.centsOf(voice)).sort((a, b) => a - b);
}

/** What a chord of a pass must sound, from the lowest note; the first chord stands at home as a whole, in 12 equal. */
function exactCents(pump: Pump, index: number, pass: number): number[] {
  const deviation = (i: number, p: number, key: number): number =>
    toDeviationCents(pumpPoint(pump, i, p, key));
  const first = keysOf(pump.chords[0].keys);
  const offset = first.reduce((sum, key) => sum - deviation(0, 0, key), 0) / first.length;
  return keysOf(pump.chords[index].keys)
    .map((key) => 100 * key + deviation(index, pass, key) + offset)
    .sort((a, b) => a - b);
}

/** Falling and rising, by 2151 and 4106 cents, and with prime 7 by 2726: the keys sent are not those played. */
const LONG = [PUMPS[0], PUMPS[2], PUMPS[5], PUMPS[11]];

describe.each([
  ['mpe', 48],
  ['multichannel', 2],
] as const)('a hundred passes of a pump in a file for %s', (kind, rangeSemitones) => {
  test.each(LONG)('have every pitch within half a bend step: $name', (pump) => {
    const retuned = retune(toFile(pump), {
      settings: toSettings({ strategy: 'free', limit: pump.limit }),
      outlet: { kind, bendRange: undefined },
      plan: 'live',
    });
    const count = PASSES * pump.chords.length + 1;
    const middles = Array.from({ length: count }, (_, i) => (i + 0.5) * CHORD_TICKS);
    const { chords, faults } = listen(formatMidiFile(retuned.file), middles);
    expect(faults).toEqual([]);
    expect(chords.length).toBe(count);
    // Half a step; a receiver of a zone divides by 8191 (MPE 1.1, Appendix C), a bend is a semitone at most.
    const allowed = (100 * rangeSemitones) / 16384 + (kind === 'mpe' ? 101 / 8191 : 0) + 1e-6;
    let farthest = 0;
    chords.forEach((chord, i) => {
      const exact = exactCents(pump, i % pump.chords.length, Math.floor(i / pump.chords.length));
      expect(chord.length).toBe(exact.length);
      chord.forEach((cents, k) => {
        farthest = Math.max(farthest, Math.abs(cents - exact[k]));
      });
    });
    expect(farthest).toBeLessThanOrEqual(allowed);
  });
});
