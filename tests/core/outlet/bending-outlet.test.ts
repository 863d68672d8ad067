import { describe, expect, test } from 'vitest';
import { messages } from '../../support/midi-bytes.js';
import { openMpe, openMultichannel } from '../../support/outlets.js';
import { SynthModel } from '../../support/synth-model.js';

const off = (channel: number): number[][] => [
  [0xb0 | channel, 123, 0],
  [0xb0 | channel, 120, 0],
];
const pedalsUp = (channel: number): number[][] => [64, 66, 67, 69].map((pedal) => [0xb0 | channel, pedal, 0]);

describe('draining a bending outlet', () => {
  test('sends note-offs as sent, pedals up, all notes and sound off, bends centred, in that order', () => {
    const { outlet, sent } = openMultichannel({ channels: [0, 3] });
    outlet.start(0, 1, 0, 60, 90, 6150);
    outlet.control(0, 0, 0xb0, 64, 127);
    expect(sent(() => outlet.drain(1))).toEqual([
      [0x80, 62, 64],
      ...pedalsUp(0),
      ...off(0),
      ...pedalsUp(3),
      ...off(3),
      [0xe0, 0x00, 0x40],
    ]);
  });

  test('lifts the pedals of a zone on its manager, and silences manager and members', () => {
    const { outlet, sent } = openMpe({ members: 2 });
    expect(sent(() => outlet.drain(1))).toEqual([...pedalsUp(0), ...off(0), ...off(1), ...off(2)]);
  });

  test('silences what an earlier run left, pedals included', () => {
    const synth = new SynthModel();
    synth.channel(0x94, 60, 90);
    synth.channel(0xb4, 64, 127);
    const { outlet } = openMultichannel({ channels: [4] }, synth);
    outlet.drain(0);
    expect([synth.voices, synth.controllerOf(4, 64)]).toEqual([[], 0]);
  });

  test('ignores late events, leaves programs and counters, and presses a pedal again that is still down', () => {
    const { synth, outlet, sent } = openMultichannel({ channels: [0] });
    outlet.control(0, 0, 0xc0, 19, 0);
    outlet.control(0, 0, 0xb0, 64, 127);
    outlet.start(0, 1, 0, 60, 90, 6150);
    outlet.drain(1);
    const late = sent(() => {
      outlet.retune(2, 1, 6000);
      outlet.release(2, 1, 64);
      outlet.end(2, 1);
      outlet.start(2, 2, 0, 60, 90, 6010);
    });
    expect(late).toEqual(messages('0xb0 64 127, 0xe0 26 67, 0x90 60 90'));
    expect(synth.voices.map((v) => v.program)).toEqual([19]);
    expect(outlet.counters).toMatchObject({ foldedNotes: 1, sharedNotes: 0 });
    outlet.release(3, 2, 64);
    expect(synth.voices.map(({ isDown }) => isDown)).toEqual([false]);
    outlet.control(4, 0, 0xb0, 64, 0);
    expect(synth.voices).toEqual([]);
  });

  test('presses no pedal again that came up in the meantime', () => {
    const { synth, outlet } = openMpe({ members: 2, releaseHoldMs: 0 });
    outlet.control(0, 0, 0xb0, 64, 127);
    outlet.control(0, 3, 0xb0, 69, 127);
    outlet.start(0, 1, 0, 60, 90, 6000);
    outlet.control(1, 0, 0xb0, 64, 0);
    outlet.drain(1);
    expect([synth.controllerOf(1, 64), synth.controllerOf(1, 69)]).toEqual([0, 0]);
    outlet.start(2, 2, 0, 60, 90, 6000);
    expect([synth.controllerOf(1, 64), synth.controllerOf(1, 69)]).toEqual([0, 127]);
  });
});

test('a bending outlet has no ringing tail after draining, so that a note that comes at once is not hurried', () => {
  const { outlet } = openMultichannel({ channels: [0] });
  outlet.start(0, 1, 0, 60, 90, 6050);
  outlet.release(1, 1, 64);
  outlet.end(1, 1);
  outlet.drain(2);
  outlet.start(3, 2, 0, 60, 90, 6010);
  expect(outlet.counters.hurriedNotes).toBe(0);
});

test('opening a bending outlet again releases sounding notes first, then sets the receiver up', () => {
  const { synth, outlet, sent } = openMpe({ members: 1 });
  const first = synth.log.slice();
  outlet.start(0, 1, 0, 60, 90, 6014);
  expect(sent(() => outlet.open())).toEqual([[0x81, 60, 64], ...first]);
  expect(sent(() => outlet.end(1, 1))).toEqual([]);
});

test('opening a bending outlet again sends bend, program and controllers again, though the receiver had them before', () => {
  const { outlet, sent } = openMultichannel({ channels: [0] });
  outlet.control(0, 0, 0xc0, 19, 0);
  outlet.start(0, 1, 0, 60, 90, 6050);
  outlet.release(1, 1, 64);
  outlet.end(1, 1);
  outlet.open();
  expect(sent(() => outlet.start(2, 2, 0, 60, 90, 6050))).toEqual(
    messages('0xc0 19, 0xe0 0x00 0x50, 0x90 60 90'),
  );
});

test('a receiver that was reset by a passed message is sent nothing again of what was set before, except for the pedals', () => {
  const { synth, outlet } = openMultichannel({ channels: [0, 1], releaseHoldMs: 0 });
  outlet.control(0, 0, 0xc0, 19, 0);
  outlet.control(0, 0, 0xb0, 7, 50);
  outlet.control(0, 0, 0xb0, 64, 127);
  // The wheel all the way up, an octave of the input's own range.
  for (const [controller, value] of messages('101 0, 100 0, 6 12'))
    outlet.control(0, 0, 0xb0, controller, value);
  outlet.control(0, 0, 0xe0, 127, 127);
  outlet.start(0, 1, 0, 60, 90, 6000);
  synth.reset();
  outlet.drain(1);
  outlet.forget();
  outlet.open();
  outlet.start(2, 2, 0, 60, 90, 6000);
  const [voice] = synth.voices;
  expect([voice.program, synth.controllerOf(voice.channel, 7)]).toEqual([0, 100]);
  expect(synth.controllerOf(voice.channel, 64)).toBe(127);
  expect(synth.centsOf(voice)).toBe(6000);
  // And the wheel reaches as far as a wheel that said nothing.
  outlet.control(3, 0, 0xe0, 0, 96);
  expect(synth.centsOf(voice)).toBeCloseTo(6100, 9);
});
