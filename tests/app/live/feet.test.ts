import { describe, expect, test } from 'vitest';
import { Stage, stageSettings } from '../../support/stage.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;

function stageOf(kind: (typeof KINDS)[number]): Stage {
  const settings = stageSettings();
  return new Stage({ ...settings, outlets: [{ ...settings.outlets[0], kind }] });
}

/** A note struck and let go, and what then still sounds: for the tuner, and at the synth. */
function tap(stage: Stage): [tuner: number, synth: number] {
  stage.strike(62).wait(100).lift(62).wait(100);
  return [stage.session.line.tuner.notes.length, stage.model().voices.length];
}

/** The foot comes up. */
function lift(stage: Stage): [tuner: number, synth: number] {
  stage.keys.feed(0xb0, 64, 0);
  return [stage.session.line.tuner.notes.length, stage.model().voices.length];
}

describe.each(KINDS)('a pedal held down over %s', (kind) => {
  const down = () => {
    const stage = stageOf(kind);
    stage.keys.feed(0xb0, 64, 127);
    return stage.strike(60, 64).wait(100).lift(60).wait(50);
  };

  test('is lifted by a panic, for tuner and synth, and holds again once it is pressed again', () => {
    const stage = down();
    stage.session.panic();
    expect(tap(stage)).toEqual([0, 0]);
    stage.keys.feed(0xb0, 64, 127);
    expect(tap(stage)).toEqual([1, 1]);
    expect(lift(stage)).toEqual([0, 0]);
  });

  test('is lifted by new settings that change ports or rules, and stays down with any others', () => {
    const stage = down();
    const { settings } = stage.session;
    stage.session.reload({ ...settings, tuner: { ...settings.tuner, limit: 7 } });
    expect(tap(stage)).toEqual([3, 3]);
    stage.session.reload({ ...settings, fuse: settings.fuse + 1 });
    expect(tap(stage)).toEqual([0, 0]);
  });

  test('holds new notes of a synth that was replugged and pressed again', () => {
    const stage = down();
    stage.synth.unplug();
    stage.wait(600).lift(64);
    stage.keys.feed(0xc0, 19);
    stage.synth = stage.machine.plugSynth('Synth');
    stage.wait(1000);
    // The old notes are over there, but not for the tuner, whose foot is still down.
    stage.keys.feed(0xb0, 64, 0);
    stage.keys.feed(0xb0, 64, 100);
    expect(tap(stage)).toEqual([1, 1]);
    expect(stage.model().voices[0].program).toBe(19);
    expect(lift(stage)).toEqual([0, 0]);
  });

  test("holds a replugged synth's notes from the next one on, when it was down all the time", () => {
    const stage = down();
    stage.lift(64).wait(50);
    stage.synth.unplug();
    stage.wait(600);
    stage.synth = stage.machine.plugSynth('Synth');
    stage.wait(1000);
    expect(tap(stage)[1]).toBe(1);
    expect(lift(stage)).toEqual([0, 0]);
  });

  test('goes on holding after an internal error', () => {
    const stage = down();
    const { line } = stage.session;
    const message = line.message.bind(line);
    line.message = () => {
      line.message = message;
      throw new RangeError('a hole in the floor');
    };
    stage.strike(72);
    expect([line.tuner.notes.length, stage.model().voices.length]).toEqual([0, 0]);
    expect(tap(stage)).toEqual([1, 1]);
    // Another channel's foot makes no difference.
    stage.keys.feed(0xb1, 64, 127);
    stage.keys.feed(0xb1, 64, 0);
    expect([line.tuner.notes.length, stage.model().voices.length]).toEqual([1, 1]);
    expect(lift(stage)).toEqual([0, 0]);
  });

  test('goes on holding after a message that reset the synth, where nothing else is restored', () => {
    const stage = down();
    stage.lift(64);
    stage.keys.feed(0xc0, 19);
    stage.keys.feed(0xf0, 0x7e, 0x7f, 0x09, 0x01, 0xf7);
    const resetAt = stage.synth.messages.length;
    expect(tap(stage)[1]).toBe(1);
    expect(stage.synth.messages.slice(resetAt).filter(([status]) => (status & 0xf0) === 0xc0)).toEqual([]);
    expect(lift(stage)).toEqual([0, 0]);
  });

  test('is not lifted by another channel’s pedal, and holds that channel’s notes too where they share a zone', () => {
    const stage = down();
    stage.keys.feed(0x91, 67, 80);
    stage.keys.feed(0xb1, 64, 127);
    stage.keys.feed(0xb1, 64, 0);
    stage.keys.feed(0x81, 67, 80);
    stage.keys.feed(0xb1, 121, 0);
    stage.keys.feed(0xb1, 123, 0);
    stage.wait(50);
    const keys = stage.session.line.tuner.notes.map(({ key }) => key);
    // A zone has one pedal: what its foot lets go at the receiver, it lets go for the tuner.
    expect(keys).toEqual(kind === 'mpe' ? [60, 64, 67] : [60, 64]);
    if (kind === 'mpe') expect(stage.model().voices).toHaveLength(3);
    expect(stage.model().voices.map((voice) => voice.serial)).toEqual(expect.arrayContaining([0, 1]));
    stage.lift(64);
    lift(stage);
    expect(stage.model().voices).toEqual([]);
  });
});
