import { describe, expect, test } from 'vitest';
import { DEFAULT_INPUT, DEFAULT_OUTLET, type OutletConfig } from '../../../src/app/live/live-settings.js';
import { DEFAULT_SPLIT, type SplitConfig } from '../../../src/app/live/split-settings.js';
import type { FakeKeys, FakeSynth } from '../../support/fake-devices.js';
import { Stage, stageSettings } from '../../support/stage.js';

const split = { ...DEFAULT_SPLIT, input: 'Keys' };
const low: SplitConfig = { ...split, name: 'Low', highest: 59 };
const high: SplitConfig = { ...split, name: 'High', lowest: 60 };
const outlet: OutletConfig = { ...DEFAULT_OUTLET, port: 'Synth', virtual: false };
const lowZone: OutletConfig = { ...outlet, members: 7, from: ['Low'] };
const highZone: OutletConfig = { ...outlet, members: 7, zone: 'upper', from: ['High'] };

function stageOf(splits: readonly SplitConfig[], outlets: readonly OutletConfig[]): Stage {
  return new Stage(stageSettings({ splits, outlets }, { strategy: 'free' }));
}

/** What sounds: each note's channel, 1 to 16, and its pitch in cents. */
function toHeard(stage: Stage, synth: FakeSynth = stage.synth) {
  const model = stage.model(synth);
  return model.voices
    .map((voice) => ({ channel: voice.channel + 1, cents: Math.round(model.centsOf(voice)) }))
    .sort((a, b) => a.cents - b.cents);
}

const toCents = (stage: Stage) => toHeard(stage).map(({ cents }) => cents);

/** What the synth is sent while something happens. */
function during(stage: Stage, happen: () => void): number[][] {
  const before = stage.synth.messages.length;
  happen();
  return stage.synth.messages.slice(before);
}

/** The values the synth was sent of one controller, with their channels 1 to 16. */
function toController(stage: Stage, controller: number): [channel: number, value: number][] {
  return stage.synth.messages
    .filter(([status, data1]) => (status & 0xf0) === 0xb0 && data1 === controller)
    .map(([status, , value]) => [(status & 0x0f) + 1, value]);
}

describe('a keyboard in two splits', () => {
  test('plays one outlet with its low keys and another with its high ones, tuned to each other', () => {
    const stage = stageOf(
      [low, high],
      [
        { ...outlet, from: ['Low'] },
        { ...outlet, port: 'Strings', from: ['High'] },
      ],
    );
    const strings = stage.machine.plugSynth('Strings');
    stage.wait(600).strike(48, 64, 67).wait(100);
    const [[bass], [third, fifth]] = [toHeard(stage), toHeard(stage, strings)];
    // A just tenth, 5/2, and a just twelfth, 3/1: 1200 log2 of them, rounded.
    expect([third.cents - bass.cents, fifth.cents - bass.cents]).toEqual([1586, 1902]);
    stage.lift(48, 64, 67);
    expect([toHeard(stage), toHeard(stage, strings)]).toEqual([[], []]);
  });

  test('plays two zones of one port, each with its own volume, program, pedal and wheel', () => {
    const second = { ...DEFAULT_INPUT, port: 'Second', virtual: false };
    const stage = new Stage(
      stageSettings({
        inputs: [{ ...second, port: 'Keys' }, second],
        outlets: [
          { ...lowZone, from: ['Keys'] },
          { ...highZone, from: ['Second'] },
        ],
      }),
    );
    const other = stage.machine.plugKeys('Second');
    stage.wait(600);
    const before = stage.synth.messages.length;
    stage.strike(60);
    other.feed(0x90, 72, 80);
    stage.wait(100);
    const [lower, upper] = toHeard(stage);
    expect([lower.channel <= 8, upper.channel >= 9]).toEqual([true, true]);
    stage.keys.feed(0xb0, 7, 90);
    other.feed(0xb0, 7, 50);
    stage.keys.feed(0xc0, 3);
    other.feed(0xc0, 4);
    stage.keys.feed(0xb0, 64, 127);
    stage.lift(60);
    other.feed(0x80, 72, 0);
    other.feed(0xe0, 0, 96);
    stage.keys.feed(0xe0, 0, 96);
    // The lower zone's note is held by its pedal, and bent by its own wheel alone.
    expect(toHeard(stage).map(({ cents }) => cents - lower.cents)).toEqual([100]);
    const sent = stage.synth.messages.slice(before);
    expect(toController(stage, 7)).toEqual([
      [1, 90],
      [16, 50],
    ]);
    expect(sent.filter(([status]) => (status & 0xf0) === 0xc0)).toEqual([
      [0xc0, 3],
      [0xcf, 4],
    ]);
    stage.session.stop();
    expect(toHeard(stage)).toEqual([]);
  });

  test('gives the pedal to a split alone where the other has none', () => {
    const stage = stageOf([{ ...low, controllers: false }, high], [lowZone, highZone]);
    stage.wait(600).strike(48, 72);
    stage.keys.feed(0xb0, 64, 127);
    stage.wait(50).lift(48, 72);
    expect(toHeard(stage).map(({ channel }) => channel >= 9)).toEqual([true]);
    expect(stage.session.line.tuner.notes.map(({ key }) => key)).toEqual([72]);
    stage.keys.feed(0xb0, 64, 0);
    expect(toHeard(stage)).toEqual([]);
  });

  test('in one zone has one pedal, so a note without its own is held by it for tuner and synth', () => {
    const stage = stageOf([{ ...low, controllers: false }, high], [outlet]);
    stage.wait(600).strike(48, 72);
    stage.keys.feed(0xb0, 64, 127);
    stage.wait(50).lift(48, 72);
    expect(stage.model().voices).toHaveLength(2);
    expect(stage.session.line.tuner.notes).toHaveLength(2);
    stage.keys.feed(0xb0, 64, 0);
    expect([stage.model().voices.length, stage.session.line.tuner.notes.length]).toEqual([0, 0]);
  });

  test('tunes the right hand to a left hand that can not be tuned', () => {
    const organ: SplitConfig = { ...low, role: 'fixed' };
    const pipes: OutletConfig = { ...outlet, port: 'Pipes', kind: 'mts', from: ['Low'] };
    const stage = stageOf([organ, high], [pipes, { ...outlet, from: ['High'] }]);
    const pipeSynth = stage.machine.plugSynth('Pipes');
    stage.wait(600).strike(48, 64, 67).wait(100);
    expect(toHeard(stage, pipeSynth)).toEqual([{ channel: 1, cents: 4800 }]);
    // Within a bend step of the zone, 0.6 cents.
    const [third, fifth] = toCents(stage);
    expect([Math.abs(third - 6386.3) < 1, Math.abs(fifth - 6702) < 1]).toEqual([true, true]);
  });
});

describe('a layer', () => {
  const octave: SplitConfig = { ...split, name: 'Octave', transpose: 12 };
  const whole: SplitConfig = { ...split, name: 'Whole' };

  test('sounds each key twice, an octave apart and pure, and ends both with the key', () => {
    const stage = stageOf([whole, octave], [outlet]);
    stage.wait(600).strike(60, 64).wait(100);
    const cents = toCents(stage);
    expect(cents.map((one) => one - cents[0])).toEqual([0, 386, 1200, 1586]);
    stage.lift(60);
    expect(toCents(stage).map((one) => one - cents[0])).toEqual([386, 1586]);
    stage.lift(64);
    expect([toCents(stage), stage.session.line.tuner.notes.length]).toEqual([[], 0]);
  });

  test('leaves out keys that it would move past the ends of MIDI', () => {
    const stage = stageOf([whole, { ...octave, transpose: 60 }], [outlet]);
    stage.wait(600).strike(60, 100).wait(100);
    expect(toCents(stage)).toHaveLength(3);
    stage.lift(60, 100);
    expect([stage.model().voices.length, stage.model().faults]).toEqual([0, []]);
  });
});

describe('an input with splits', () => {
  test('is silent on keys that are in none', () => {
    const stage = stageOf([{ ...low, highest: 50 }, high], [outlet]);
    stage.wait(600).strike(55).wait(50);
    expect(toHeard(stage)).toEqual([]);
  });

  test('passes channels that are in none as they come, once to each port', () => {
    const plain: OutletConfig = { ...outlet, kind: 'multichannel' };
    const stage = stageOf(
      [
        { ...low, channels: [0] },
        { ...high, channels: [0] },
      ],
      [
        { ...plain, channels: [0, 1], from: ['Low'] },
        { ...plain, channels: [2, 3], from: ['High'] },
      ],
    );
    stage.wait(600);
    const sent = during(stage, () => stage.keys.feed(0x99, 36, 90));
    expect(sent).toEqual([[0x99, 36, 90]]);
    stage.keys.unplug();
    stage.wait(600);
    expect(stage.model().voices).toEqual([]);
  });

  test('releases the keys of every split when it is unplugged', () => {
    const stage = stageOf([low, high], [lowZone, highZone]);
    stage.wait(600).strike(48, 72);
    stage.keys.feed(0xb0, 64, 127);
    stage.wait(50);
    stage.keys.unplug();
    stage.wait(600);
    expect([stage.model().voices.length, stage.session.line.tuner.notes.length]).toEqual([0, 0]);
  });
});

describe('outlets on one port', () => {
  test('send a system message once, and a reset of the receiver ends the notes of both', () => {
    const stage = stageOf([low, high], [lowZone, highZone]);
    stage.wait(600).strike(48, 72);
    const sent = during(stage, () => stage.keys.feed(0xf8));
    expect(sent).toEqual([[0xf8]]);
    // GM System On, General MIDI System Level 1.
    stage.keys.feed(0xf0, 0x7e, 0x7f, 0x09, 0x01, 0xf7);
    expect(toHeard(stage)).toEqual([]);
    const again = during(stage, () => stage.strike(49, 73));
    // The first data of each manager is the size of its zone, for RPN 6.
    const toFirst = (status: number) => again.find((one) => one[0] === status && one[1] === 6);
    expect([toFirst(0xb0)?.[2], toFirst(0xbf)?.[2]]).toEqual([7, 7]);
    expect(toHeard(stage)).toHaveLength(2);
  });

  test('are both set up when the port comes back', () => {
    const stage = stageOf([low, high], [lowZone, highZone]);
    stage.wait(600).strike(48, 72);
    stage.synth.unplug();
    stage.wait(600).lift(48, 72);
    stage.synth = stage.machine.plugSynth('Synth');
    stage.wait(1000).strike(50, 74);
    expect(toHeard(stage).map(({ channel }) => channel > 8)).toEqual([false, true]);
    stage.session.stop();
    expect(toHeard(stage)).toEqual([]);
  });
});

describe('a pedal board whose messages pass to the same zone', () => {
  function stageWithFeet(): { stage: Stage; feet: FakeKeys } {
    const settings = stageSettings();
    const feetInput = { ...DEFAULT_INPUT, port: 'Feet', virtual: false, channels: [] };
    const stage = new Stage({ ...settings, inputs: [...settings.inputs, feetInput] });
    const feet = stage.machine.plugKeys('Feet');
    stage.wait(600);
    return { stage, feet };
  }
  const counts = (stage: Stage) => [stage.model().voices.length, stage.session.line.tuner.notes.length];

  test('holds notes again after the keyboard was unplugged, since the foot is still down', () => {
    const { stage, feet } = stageWithFeet();
    feet.feed(0xb0, 64, 127);
    stage.strike(60);
    stage.keys.unplug();
    stage.wait(600);
    expect(counts(stage)).toEqual([0, 0]);
    stage.keys = stage.machine.plugKeys('Keys');
    stage.wait(1000).strike(62).wait(50).lift(62);
    expect(counts(stage)).toEqual([1, 1]);
    feet.feed(0xb0, 64, 0);
    expect(counts(stage)).toEqual([0, 0]);
  });

  test('after a panic holds nothing that another foot still presses', () => {
    const { stage, feet } = stageWithFeet();
    stage.keys.feed(0xb0, 64, 127);
    stage.strike(60);
    stage.session.panic();
    // Within a second it might be an echo of what was sent before.
    stage.wait(1500);
    feet.feed(0xb0, 64, 127);
    feet.feed(0xb0, 64, 0);
    stage.strike(62).wait(50).lift(62);
    expect(counts(stage)).toEqual([0, 0]);
  });
});

test('All Sound Off of one channel of a zone leaves what a pedal of the other holds, for tuner and synth', () => {
  const stage = new Stage(stageSettings());
  stage.wait(600).strike(60);
  stage.keys.feed(0x91, 67, 80);
  stage.keys.feed(0xb1, 64, 127);
  stage.keys.feed(0xb0, 120, 0);
  expect([stage.model().voices.length, stage.session.line.tuner.notes.length]).toEqual([2, 2]);
  stage.keys.feed(0xb1, 64, 0);
  expect(stage.session.line.tuner.notes.map(({ key }) => key)).toEqual([67]);
  expect(stage.model().voices).toHaveLength(1);
});
