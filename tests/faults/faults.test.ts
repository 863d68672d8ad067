import { describe, expect, test } from 'vitest';
import { CONCERT } from '../support/concert.js';
import { numbers } from '../support/numbers.js';
import { Stage, stageSettings } from '../support/stage.js';

function playTo(stage: Stage, gestures: number): void {
  for (const { waitMs, bytes } of CONCERT.slice(0, gestures)) {
    stage.wait(waitMs);
    stage.keys.feed(...bytes);
  }
}

test('a port that goes at any point of a performance leaves its synth silent when it is back', () => {
  for (let point = 1; point <= CONCERT.length; point++) {
    const stage = new Stage();
    playTo(stage, point);
    stage.synth.unplug();
    for (const { waitMs, bytes } of CONCERT.slice(point)) {
      stage.wait(waitMs);
      stage.keys.feed(...bytes);
    }
    stage.synth = stage.machine.plugSynth('Synth');
    stage.wait(1500);
    expect(stage.model().voices).toEqual([]);
    stage.strike(60, 64).wait(50);
    expect(stage.model().voices).toHaveLength(2);
    expect(stage.session.counters.faults).toBe(0);
  }
});

test('a port that goes at any point of a performance leaves no note of its keyboard sounding', () => {
  for (let point = 1; point <= CONCERT.length; point++) {
    const stage = new Stage();
    playTo(stage, point);
    stage.keys.unplug();
    stage.wait(1000);
    const model = stage.model();
    if (model.voices.length > 0) expect({ point, voices: model.voices }).toEqual({ point, voices: [] });
    expect(model.noteOns).toBe(model.noteOffs);
  }
});

describe.each(['mpe', 'multichannel', 'mts'] as const)('pedals that hold notes, over %s', (kind) => {
  const settings = stageSettings();
  const outlets = [{ ...settings.outlets[0], kind, members: 8 }];
  const inputs = [{ ...settings.inputs[0], channels: [0, 1, 2, 3] }];

  /** Held by its pedal alone, on a channel that is tuned or on one that passes. */
  function hold(pedal: number, channel: number): Stage {
    const stage = new Stage({ ...settings, outlets, inputs });
    if (pedal !== 66) stage.keys.feed(0xb0 | channel, pedal, 127);
    stage.keys.feed(0x90 | channel, 60, 80);
    if (pedal === 66) stage.keys.feed(0xb0 | channel, pedal, 127);
    stage.keys.feed(0x80 | channel, 60, 0);
    expect(stage.model().voices).toHaveLength(1);
    return stage;
  }

  test.each(numbers('64 0, 66 0, 69 0, 64 9, 66 9, 69 9'))(
    'leave nothing sounding when the keyboard goes, after a panic, or at the end: controller %i on channel %i',
    (pedal, channel) => {
      const gone = hold(pedal, channel);
      gone.keys.unplug();
      gone.wait(1000);
      expect(gone.model().voices).toEqual([]);
      const silenced = hold(pedal, channel);
      silenced.session.panic();
      expect(silenced.model().voices).toEqual([]);
      const stopped = hold(pedal, channel);
      stopped.session.stop();
      expect(stopped.model().voices).toEqual([]);
    },
  );
});

test('a clock that jumps back stops the time, and everything is released all the same', () => {
  const stage = new Stage();
  for (const { waitMs, bytes } of CONCERT) {
    stage.nowMs += waitMs;
    stage.keys.feed(...bytes);
    stage.session.tick();
    if (stage.nowMs % 7 < 3) stage.nowMs -= 400;
  }
  stage.session.stop();
  const model = stage.model();
  expect(model.voices).toEqual([]);
  // All Notes Off passes before the note-offs it brings about.
  expect(model.faults.filter((fault) => !fault.startsWith('note-off for nothing'))).toEqual([]);
  expect(stage.session.counters.faults).toBe(0);
});

test('a clock that jumps forward by a day in the middle of a chord does no harm', () => {
  const stage = new Stage().strike(60, 64, 67);
  stage.nowMs += 86_400_000;
  stage.session.tick();
  stage.lift(60, 64, 67);
  expect(stage.model().voices).toEqual([]);
});

test('an internal error on the note path is caught, counted and reported; everything is silenced, and playing goes on', () => {
  const stage = new Stage(stageSettings()).strike(60, 64).wait(50);
  const { line } = stage.session;
  const { message } = line;
  line.message = () => {
    throw new RangeError('a hole in the floor');
  };
  stage.keys.feed(0xb0, 1, 100);
  expect(stage.session.counters.faults).toBe(1);
  expect(stage.events.at(-1)).toMatchObject({ kind: 'fault' });
  expect(stage.model().voices).toEqual([]);
  line.message = message;
  stage.lift(60, 64).strike(62, 65).wait(50);
  expect(stage.model().voices).toHaveLength(2);
});

test('an input that floods is cut off, silenced and reported by the rate fuse, and stays so until a panic', () => {
  const stage = new Stage(stageSettings({ fuse: 500 })).strike(60, 64);
  for (let i = 0; i < 600; i++) {
    stage.keys.feed(0xb0, 1, i % 128);
    stage.wait(1);
  }
  expect(stage.told()).toContain('fuse-open');
  expect(stage.model().voices).toEqual([]);
  const sent = stage.synth.messages.length;
  stage.strike(60, 64).wait(2000).strike(62);
  expect(stage.synth.messages).toHaveLength(sent);
  stage.session.panic();
  expect(stage.told()).toContain('input-reopened');
  stage.strike(60, 64).wait(50);
  expect(stage.model().voices).toHaveLength(2);
});

test('the rate fuse is not opened by fast playing', () => {
  const stage = new Stage(stageSettings());
  for (let i = 0; i < 1000; i++) {
    for (let note = 0; note < 3; note++) stage.keys.feed(i % 2 === 0 ? 0x90 : 0x80, 60 + note, 80);
    stage.nowMs += 1;
  }
  expect(stage.told()).not.toContain('fuse-open');
});
