import { describe, expect, test } from 'vitest';
import { hex, messages } from '../../support/midi-bytes.js';
import { openMts } from '../../support/outlets.js';

const change = (key: number, ...word: number[]): number[] => [
  ...hex('F0 7F 7F 08 02 00 01'),
  key,
  ...word,
  0xf7,
];

describe('an MTS outlet', () => {
  test('tunes a key before its note-on, unless it is tuned so already', () => {
    const { outlet, sent } = openMts();
    expect(sent(() => outlet.start(0, 1, 0, 64, 90, 6386.314))).toEqual([
      change(64, 0x3f, 0x6e, 0x3e),
      [0x90, 64, 90],
    ]);
    expect(sent(() => outlet.release(1, 1, 50))).toEqual([[0x80, 64, 50]]);
    outlet.end(1, 1);
    expect(sent(() => outlet.start(2, 2, 0, 64, 90, 6386.314))).toEqual([[0x90, 64, 90]]);
    expect(sent(() => outlet.retune(2, 2, 6386.315))).toEqual([]);
    expect(sent(() => outlet.retune(2, 2, 6400))).toEqual([change(64, 64, 0, 0)]);
  });

  test('moves to a free key for a second pitch of a held one', () => {
    const { synth, outlet } = openMts();
    outlet.start(0, 1, 0, 60, 90, 6000);
    outlet.start(0, 2, 0, 60, 90, 5978.5);
    expect(synth.voices.map((v) => v.key)).toEqual([60, 59]);
    expect(synth.voices.map((v) => Math.round(10 * synth.centsOf(v)))).toEqual([60_000, 59_785]);
    expect(outlet.counters).toMatchObject({ foldedNotes: 1, sharedNotes: 0 });
  });

  test('shares a key when none is free, and tunes it back', () => {
    const { synth, outlet } = openMts((part) => part);
    for (let key = 58; key <= 62; key++) outlet.start(0, key, 0, key, 90, 100 * key);
    outlet.start(0, 1, 1, 60, 90, 6010);
    expect(outlet.counters.sharedNotes).toBe(1);
    const old = synth.voices.find((v) => v.key === 60 && v.channel === 0)!;
    expect(synth.centsOf(old)).toBeCloseTo(6010, 2);
    outlet.retune(1, 60, 5990);
    expect(synth.centsOf(old)).toBeCloseTo(6010, 2);
    outlet.end(2, 1);
    expect(synth.centsOf(old)).toBeCloseTo(5990, 2);
    expect(outlet.counters.peakChannels).toBe(2);
  });

  test('never has two notes of a key on one channel', () => {
    const { synth, outlet, sent } = openMts();
    for (let key = 58; key <= 62; key++) outlet.start(0, key, 0, key, 90, 100 * key);
    expect(sent(() => outlet.start(0, 1, 0, 60, 90, 6000))).toEqual(messages('0x80 60 64, 0x90 60 90'));
    expect(sent(() => outlet.release(1, 60, 64))).toEqual([]);
    expect(synth.faults).toEqual([]);
  });

  test('counts a pitch beyond all tuning words once', () => {
    const { outlet } = openMts();
    outlet.start(0, 1, 0, 0, 90, -30);
    outlet.retune(0, 1, -40);
    expect(outlet.counters.clampedBends).toBe(1);
  });

  test("passes everything else unchanged on the part's own channel", () => {
    const { outlet, sent } = openMts((part) => part + 3);
    outlet.control(0, 2, 0xb0, 7, 80);
    const said = sent(() => {
      outlet.control(0, 2, 0xb0, 64, 127);
      outlet.control(0, 2, 0xc0, 19, 0);
      outlet.control(0, 2, 0xe0, 1, 70);
      outlet.control(0, 2, 0xd0, 33, 0);
      outlet.system(Uint8Array.of(0xfa));
    });
    expect(said).toEqual([[0xb5, 64, 127], [0xc5, 19], [0xe5, 1, 70], [0xd5, 33], [0xfa]]);
  });

  test('passes All Sound Off of the only part that plays on a channel, whichever it is', () => {
    const { outlet, sent } = openMts((part) => part % 16);
    outlet.start(0, 1, 16, 60, 90, 6000);
    expect(sent(() => outlet.control(1, 16, 0xb0, 120, 0))).toEqual([[0xb0, 120, 0]]);
    outlet.control(2, 0, 0xb0, 7, 100);
    expect(sent(() => outlet.control(3, 16, 0xb0, 120, 0))).toEqual([]);
  });

  test('sends poly pressure with the key that was sent', () => {
    const { outlet, sent } = openMts();
    outlet.start(0, 1, 0, 60, 90, 6150);
    expect(sent(() => outlet.control(0, 0, 0xa0, 60, 70))).toEqual([[0xa0, 62, 70]]);
    expect(sent(() => outlet.control(0, 0, 0xa0, 62, 70))).toEqual([]);
  });

  test('silences the channels in use when it is drained', () => {
    const { synth, outlet, sent } = openMts((part) => part);
    outlet.start(0, 1, 0, 60, 90, 6000);
    outlet.control(0, 1, 0xe1, 0, 127);
    const said = sent(() => outlet.drain(1));
    expect(said[0]).toEqual([0x80, 60, 64]);
    expect(said.slice(1, 8)).toEqual(
      messages('0xb0 64 0, 0xb0 66 0, 0xb0 67 0, 0xb0 69 0, 0xb0 123 0, 0xb0 120 0, 0xe0 0 64'),
    );
    expect(synth.channels[1].bend).toBe(8192);
    expect(sent(() => outlet.release(2, 1, 64))).toEqual([]);
    // The tuning table still stands.
    expect(sent(() => outlet.start(3, 2, 0, 60, 90, 6000))).toEqual([[0x90, 60, 90]]);
  });

  test('tunes every key again after it was opened again, and sets again what was set', () => {
    const { synth, outlet, sent } = openMts();
    outlet.control(0, 0, 0xc0, 19, 0);
    outlet.control(0, 0, 0xb0, 64, 127);
    outlet.control(0, 0, 0xe0, 0, 70);
    outlet.start(0, 1, 0, 60, 90, 6000);
    synth.reset();
    outlet.open();
    expect(sent(() => outlet.start(1, 2, 0, 60, 90, 6000))).toEqual([
      [0xc0, 19],
      [0xb0, 64, 127],
      [0xe0, 0, 70],
      change(60, 60, 0, 0),
      [0x90, 60, 90],
    ]);
    expect(sent(() => outlet.start(1, 3, 0, 62, 90, 6200))).toHaveLength(2);
  });

  test('presses a pedal again after a drain, and puts the wheel back', () => {
    const { outlet, sent } = openMts();
    outlet.control(0, 0, 0xb0, 64, 127);
    outlet.control(0, 0, 0xe0, 0, 70);
    outlet.drain(1);
    expect(sent(() => outlet.start(2, 1, 0, 60, 90, 6000))).toEqual([
      [0xb0, 64, 127],
      [0xe0, 0, 70],
      change(60, 60, 0, 0),
      [0x90, 60, 90],
    ]);
  });

  test('leaves a note of another part at its pitch, whatever becomes of the same note struck later', () => {
    const { synth, outlet } = openMts((part) => part);
    outlet.start(0, 1, 0, 84, 90, 8368.85);
    outlet.start(20, 2, 1, 84, 90, 8368.85);
    outlet.retune(24, 2, 8396.12);
    expect(synth.voices.map((voice) => synth.centsOf(voice))).toEqual([
      expect.closeTo(8368.85, 2),
      expect.closeTo(8396.12, 2),
    ]);
    expect(outlet.counters.sharedNotes).toBe(0);
  });
});
