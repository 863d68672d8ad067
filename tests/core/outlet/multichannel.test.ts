import { describe, expect, test } from 'vitest';
import { PLAIN_CHANNELS } from '../../../src/core/outlet/index.js';
import { messages } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';
import { openMultichannel } from '../../support/outlets.js';

describe('a multichannel outlet', () => {
  test('does what its documentation shows', () => {
    const { outlet, sent } = openMultichannel();
    expect(sent(() => outlet.start(0, 1, 0, 64, 90, 6386.314))).toEqual([
      [0xe0, 0x4f, 0x3b],
      [0x90, 0x40, 0x5a],
    ]);
  });

  test('leaves the percussion channel alone', () => {
    const { synth, outlet } = openMultichannel();
    outlet.control(0, 0, 0xc0, 19, 0);
    for (let i = 0; i < 20; i++) outlet.start(0, i, 0, 40 + i, 90, 4013 + 101 * i);
    outlet.drain(0);
    expect(PLAIN_CHANNELS.length).toBe(15);
    expect(synth.log.filter(([status]) => (status & 0x0f) === 9)).toEqual([]);
  });

  test('sends a single part to every channel at once, so that its notes need nothing more', () => {
    const { outlet, sent } = openMultichannel({ channels: [0, 1, 2] });
    const program = sent(() => outlet.control(0, 0, 0xc7, 19, 0));
    expect(program).toEqual(messages('0xc0 19, 0xc1 19, 0xc2 19'));
    const notes = sent(() => {
      for (let i = 0; i < 3; i++) outlet.start(0, i, 0, 60 + i, 90, 6000 + 100 * i);
    });
    expect(notes.map(([status]) => status)).toEqual([0x90, 0x91, 0x92]);
  });

  test('sends to a channel what its new part has set, as far as it differs', () => {
    const { outlet, sent } = openMultichannel({ channels: [0, 1] });
    outlet.control(0, 0, 0xc0, 19, 0);
    outlet.control(0, 0, 0xb0, 7, 80);
    outlet.control(0, 0, 0xb0, 10, 20);
    expect(sent(() => outlet.control(0, 1, 0xc1, 40, 0))).toEqual([]);
    expect(sent(() => outlet.control(0, 1, 0xb1, 7, 80))).toEqual([]);
    outlet.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => outlet.start(0, 2, 1, 64, 90, 6400))).toEqual(
      numbers('0xc1 40, 0xb1 10 64, 0x91 64 90'),
    );
    expect(sent(() => outlet.control(0, 1, 0xb1, 7, 50))).toEqual([[0xb1, 7, 50]]);
    expect(sent(() => outlet.control(0, 0, 0xb0, 7, 60))).toEqual([[0xb0, 7, 60]]);
  });

  test('has the pedals right where a channel changes part', () => {
    const { synth, outlet } = openMultichannel({ channels: [0] });
    outlet.control(0, 0, 0xb0, 64, 127);
    outlet.start(0, 1, 0, 60, 90, 6000);
    outlet.control(5, 0, 0xb0, 64, 0);
    outlet.release(5, 1, 64);
    outlet.end(5, 1);
    outlet.control(6, 0, 0xb0, 64, 127);
    outlet.start(900, 2, 1, 62, 90, 6200);
    outlet.release(910, 2, 64);
    expect(synth.voices).toEqual([]);
    outlet.end(910, 2);
    outlet.start(1800, 3, 0, 64, 90, 6400);
    outlet.release(1810, 3, 64);
    expect(synth.voices.length).toBe(1);
    outlet.control(1820, 0, 0xb0, 64, 0);
    expect(synth.voices).toEqual([]);
  });

  test('gives a channel that two parts had to share back to the part that remains', () => {
    const { synth, outlet } = openMultichannel({ channels: [0] });
    outlet.control(0, 0, 0xb0, 7, 80);
    outlet.start(0, 1, 0, 60, 90, 6010);
    outlet.control(0, 1, 0xb1, 7, 30);
    outlet.start(0, 2, 1, 64, 90, 6420);
    expect(synth.channels[0].controllers[7]).toBe(30);
    outlet.release(1, 2, 64);
    outlet.end(1, 2);
    expect(synth.channels[0].controllers[7]).toBe(80);
    expect(synth.centsOf(synth.voices[0])).toBeCloseTo(6010, 1);
    expect(outlet.counters.sharedNotes).toBe(1);
  });

  test('passes poly pressure as it is, on the channel and key of the note', () => {
    const { outlet, sent } = openMultichannel({ channels: [4] });
    outlet.start(0, 1, 0, 60, 90, 6150);
    expect(sent(() => outlet.control(0, 0, 0xa0, 60, 70))).toEqual([[0xa4, 62, 70]]);
    outlet.release(1, 1, 64);
    expect(sent(() => outlet.control(1, 0, 0xa0, 60, 70))).toEqual([]);
  });

  test('sends fine tuning and unregistered parameters with the part', () => {
    const { synth, outlet } = openMultichannel({ channels: [0, 1] });
    outlet.start(0, 1, 0, 60, 90, 6000);
    const data = numbers('101 0, 100 1, 6 70, 38 0, 99 1, 98 8, 6 99');
    for (const [controller, value] of data) outlet.control(0, 1, 0xb0, controller, value);
    outlet.start(0, 2, 1, 64, 90, 6400);
    expect(synth.channels[1].fineCents).toBeCloseTo((6 * 128 * 100) / 8192, 9);
    expect(synth.channels[1].nrpns.get(136)).toEqual([99, 0]);
    expect([synth.channels[0].fineCents, synth.channels[0].nrpns.size]).toEqual([0, 0]);
  });

  test('leaves the tail of another part its program and controllers, while a channel has rung out', () => {
    const { synth, outlet } = openMultichannel({ channels: [0, 1] });
    outlet.start(0, 1, 0, 60, 90, 6000);
    outlet.release(10, 1, 64);
    outlet.end(10, 1);
    // Channel 0 is at the right bend, but its tail would get the new part's sound.
    outlet.start(20, 2, 1, 64, 90, 6400);
    expect(synth.voices.map((v) => v.channel)).toEqual([1]);
    expect(outlet.counters.hurriedNotes).toBe(0);
  });

  test('shares a channel of the same part rather than one nearer in bend', () => {
    const { synth, outlet } = openMultichannel({ channels: [0, 1] });
    outlet.start(0, 1, 0, 60, 90, 6000);
    outlet.start(0, 2, 1, 64, 90, 6450);
    outlet.start(0, 3, 0, 67, 90, 6749);
    expect(synth.voices.map((v) => v.channel)).toEqual([0, 1, 0]);
  });
});
