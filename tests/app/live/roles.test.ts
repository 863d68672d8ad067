import { describe, expect, test } from 'vitest';
import {
  DEFAULT_INPUT,
  DEFAULT_OUTLET,
  type InputConfig,
  type OutletConfig,
} from '../../../src/app/live/live-settings.js';
import { Stage, stageSettings } from '../../support/stage.js';

const KEYS: InputConfig = { ...DEFAULT_INPUT, port: 'Keys', virtual: false };
const SYNTH: OutletConfig = { ...DEFAULT_OUTLET, port: 'Synth', virtual: false };
const ORGAN: InputConfig = { ...DEFAULT_INPUT, port: 'Organ', virtual: false, role: 'fixed' };
const PIPES: OutletConfig = {
  ...DEFAULT_OUTLET,
  port: 'Pipes',
  virtual: false,
  kind: 'mts',
  from: ['Organ'],
};

/** A keyboard that is tuned and another input, each with a synth of its own. */
function stageWith(other: InputConfig, tuner = {}) {
  const stage = new Stage(
    stageSettings(
      {
        inputs: [KEYS, other],
        outlets: [
          { ...SYNTH, from: ['Keys'] },
          { ...PIPES, from: [other.port] },
        ],
      },
      tuner,
    ),
  );
  const keys = stage.machine.plugKeys(other.port);
  const pipes = stage.machine.plugSynth('Pipes');
  stage.wait(600);
  return { stage, other: keys, pipes };
}

const pitches = (stage: Stage) => {
  const model = stage.model();
  return model.voices.map((voice) => model.centsOf(voice)).sort((a, b) => a - b);
};

describe('an input whose notes cannot be tuned', () => {
  test('passes as it came, and the tuned chord is pure to it', () => {
    const { stage, other, pipes } = stageWith({ ...ORGAN, fixedCents: new Array(12).fill(7) });
    const before = pipes.messages.length;
    other.feed(0x90, 48, 80);
    stage.strike(64, 67).wait(100);
    expect(pipes.messages.slice(before)).toEqual([[0x90, 48, 80]]);
    const [third, fifth] = pitches(stage);
    expect(third).toBeCloseTo(4807 + 1586.314, 0);
    expect(fifth).toBeCloseTo(4807 + 1901.955, 0);
    other.feed(0x80, 48, 64);
    stage.lift(64, 67).wait(100);
    expect(stage.model().voices).toEqual([]);
    expect(pipes.messages.at(-1)).toEqual([0x80, 48, 64]);
  });

  test('leaves nothing hanging when it is unplugged while keys are down', () => {
    const { stage, other, pipes } = stageWith(ORGAN);
    other.feed(0x90, 48, 80);
    other.unplug();
    stage.wait(600);
    expect(stage.model(pipes).voices).toEqual([]);
    expect(stage.session.line.tuner.notes).toEqual([]);
  });

  test('is silenced by a panic, and sends nothing to the outlets of tuned notes', () => {
    const { stage, other } = stageWith(ORGAN);
    other.feed(0xb0, 64, 127);
    other.feed(0x90, 48, 80);
    expect(stage.synth.messages.filter(([status]) => (status & 0xf0) === 0x90)).toEqual([]);
    stage.session.panic();
    expect(stage.session.line.tuner.notes).toEqual([]);
    expect(stage.session.line.tuner.fixed.size).toBe(0);
  });
});

test('the notes of a guide are heard as harmony and not sent', () => {
  const { stage, other, pipes } = stageWith({ ...ORGAN, role: 'guide' }, { strategy: 'free' });
  const before = pipes.messages.length;
  other.feed(0x90, 48, 80);
  other.feed(0x90, 52, 80);
  stage.wait(100).strike(67).wait(50);
  expect(pipes.messages).toHaveLength(before);
  const notes = stage.session.line.tuner.notes;
  expect(notes.map(({ key }) => key)).toEqual([48, 52, 67]);
  expect(pitches(stage)).toHaveLength(1);
  expect(notes[2].reportedCents - notes[0].reportedCents).toBeCloseTo(1901.955, 3);
});

test('the notes of an untuned input pass and are not heard', () => {
  const { stage, other, pipes } = stageWith({ ...ORGAN, role: 'untuned' });
  other.feed(0x90, 48, 80);
  expect(pipes.messages.at(-1)).toEqual([0x90, 48, 80]);
  expect(stage.session.line.tuner.notes).toEqual([]);
});

describe('drums on channel 10 of an input', () => {
  test.each([
    ['multichannel', { kind: 'multichannel' as const }, true],
    ['mts', { kind: 'mts' as const }, true],
    ['mpe of 8 channels', { members: 8 }, true],
    ['mpe of 15 channels', { members: 15 }, false],
  ])('pass unchanged over %s if its channels leave room, and join no harmony', (_, changes, passes) => {
    const stage = new Stage(stageSettings({ outlets: [{ ...SYNTH, ...changes }] }));
    const before = stage.synth.messages.length;
    stage.keys.feed(0x99, 38, 90);
    stage.keys.feed(0x89, 38, 64);
    const drums = [
      [0x99, 38, 90],
      [0x89, 38, 64],
    ];
    expect(stage.synth.messages.slice(before)).toEqual(passes ? drums : []);
    expect(stage.session.line.tuner.nextId).toBe(0);
  });

  test('are tuned if the settings name the channel', () => {
    const stage = new Stage(stageSettings({ inputs: [{ ...KEYS, channels: [9] }] }));
    stage.keys.feed(0x99, 60, 90);
    expect(stage.session.line.tuner.notes).toHaveLength(1);
  });
});

describe('a pedal on a channel that is not tuned', () => {
  const stageOf = (changes: Partial<OutletConfig> = {}) => {
    const pedals: InputConfig = { ...DEFAULT_INPUT, port: 'Pedals', virtual: false, channels: [] };
    const stage = new Stage(
      stageSettings({ inputs: [KEYS, pedals], outlets: [{ ...SYNTH, ...changes }] }, { strategy: 'free' }),
    );
    const feet = stage.machine.plugKeys('Pedals');
    stage.wait(600);
    return { stage, feet };
  };
  const pedalsSent = (stage: Stage) =>
    stage.synth.messages
      .filter(([status, data1]) => (status & 0xf0) === 0xb0 && data1 === 64)
      .map(([, , value]) => value);

  test.each([
    ['mpe', {}],
    ['multichannel', { kind: 'multichannel' as const }],
    ['mts', { kind: 'mts' as const }],
  ])('holds the tuned notes of its receiver, which no later chord bends, over %s', (_, changes) => {
    const { stage, feet } = stageOf(changes);
    stage.strike(60, 64, 67).wait(100);
    feet.feed(0xb0, 64, 127);
    stage.lift(60, 64, 67).wait(50);
    expect(stage.session.line.tuner.notes).toHaveLength(3);
    const before = pitches(stage);
    for (let pass = 0; pass < 4; pass++)
      for (const key of [62, 65, 69, 72, 74]) stage.strike(key).wait(60).lift(key);
    const after = pitches(stage);
    for (const cents of before) expect(after.some((other) => Math.abs(other - cents) < 0.5)).toBe(true);
    feet.feed(0xb0, 64, 0);
    stage.wait(50);
    expect(stage.session.line.tuner.notes).toEqual([]);
    expect(stage.model().voices).toEqual([]);
  });

  test('and the own pedal hold together: notes end when both are up', () => {
    const { stage, feet } = stageOf();
    stage.strike(60).wait(50);
    stage.keys.feed(0xb0, 64, 127);
    feet.feed(0xb0, 64, 127);
    stage.lift(60);
    feet.feed(0xb0, 64, 0);
    expect(stage.model().voices).toHaveLength(1);
    expect(pedalsSent(stage).at(-1)).toBe(127);
    stage.keys.feed(0xb0, 64, 0);
    expect(stage.model().voices).toEqual([]);
    expect(pedalsSent(stage).at(-1)).toBe(0);
  });

  test('that is down before a channel plays its first note holds that note too', () => {
    const { stage, feet } = stageOf();
    feet.feed(0xb0, 64, 127);
    stage.strike(60).wait(50).lift(60);
    expect(stage.session.line.tuner.notes).toHaveLength(1);
    expect(stage.model().voices).toHaveLength(1);
    feet.unplug();
    stage.wait(600);
    expect(stage.session.line.tuner.notes).toEqual([]);
    expect(stage.model().voices).toEqual([]);
  });

  test('passes as it came to an outlet that leaves its channel alone', () => {
    const { stage, feet } = stageOf({ members: 8 });
    feet.feed(0xbb, 64, 127);
    expect(stage.synth.messages.at(-1)).toEqual([0xbb, 64, 127]);
    stage.strike(60).wait(50).lift(60);
    expect(stage.model().voices).toEqual([]);
  });
});
