import { describe, expect, test } from 'vitest';
import type { MpeInput } from '../../../src/app/live/input-zones.js';
import type { OutletConfig } from '../../../src/app/live/live-settings.js';
import { MpeKeys } from '../../support/mpe-keys.js';
import { Stage, stageSettings } from '../../support/stage.js';

/** A keyboard and a synth; 12 equal unless notes sound together. */
function setUp(mpe: MpeInput = 'auto', outlet: Partial<OutletConfig> = {}, manager: 0 | 15 = 0) {
  const settings = stageSettings();
  const stage = new Stage({
    ...settings,
    inputs: [{ ...settings.inputs[0], mpe }],
    outlets: [{ ...settings.outlets[0], ...outlet }],
  });
  stage.wait(600);
  const keys = new MpeKeys((...bytes) => stage.keys.feed(...bytes), manager);
  const during = (run: () => void): (readonly number[])[] => {
    const before = stage.synth.messages.length;
    run();
    return stage.synth.messages.slice(before);
  };
  return { stage, keys, during };
}

/** Key, pressure and CC 74 of what sounds at an outlet of one zone or of plain channels. */
function heard(stage: Stage): number[][] {
  const model = stage.model();
  expect(model.faults).toEqual([]);
  return model.voices
    .map(({ channel, key }) => [
      key,
      model.channels[channel].pressure,
      model.channels[channel].controllers[74],
    ])
    .sort(([a], [b]) => a - b);
}

const cents = (stage: Stage): number[] => {
  const model = stage.model();
  return model.voices.map((voice) => model.centsOf(voice)).sort((a, b) => a - b);
};

describe('an MPE keyboard', () => {
  test.each(['mpe', 'multichannel'] as const)(
    'over %s: what each finger does is for its own note',
    (kind) => {
      const { stage, keys } = setUp('auto', { kind });
      keys.configure(15);
      keys.on(1, 60);
      keys.on(2, 64);
      keys.press(1, 20);
      keys.slide(1, 30);
      keys.press(2, 50);
      keys.slide(2, 90);
      expect(heard(stage)).toEqual([
        [60, 20, 30],
        [64, 50, 90],
      ]);
      const [first] = cents(stage);
      // 48 semitones are 8192 steps.
      keys.bend(1, 8192 + 171);
      expect(cents(stage)[0] - first).toBeCloseTo((4800 * 171) / 8192, 0);
    },
  );

  test('has its configuration message heard, and not passed on', () => {
    const { keys, during } = setUp();
    expect(during(() => keys.configure(15)).filter(([, controller]) => controller === 6)).toEqual([]);
  });

  test('sets a note’s expression before its note-on, and only what differs', () => {
    const { keys, during } = setUp();
    keys.configure(15);
    const sent = during(() => {
      keys.bend(3, 8192 + 2048);
      keys.slide(3, 90);
      keys.press(3, 11);
      keys.on(3, 69, 33);
    });
    expect(sent).toEqual([
      [0xd1, 11],
      [0xb1, 74, 90],
      [0xe1, 0, 80],
      [0x91, 69, 33],
    ]);
  });

  test('starts no note on what the last one left on its channel', () => {
    const { stage, keys, during } = setUp('auto', { members: 1, releaseHoldMs: 0 });
    keys.configure(15);
    keys.slide(1, 90);
    keys.press(1, 11);
    keys.on(1, 60);
    keys.off(1, 60, 17);
    stage.wait(100);
    expect(stage.synth.messages.at(-1)).toEqual([0x81, 60, 17]);
    expect(during(() => keys.on(2, 60))).toEqual([
      [0xd1, 0],
      [0xb1, 74, 64],
      [0x91, 60, 80],
    ]);
  });

  test('plays one key with two fingers, and each lifts its own', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.on(1, 60);
    keys.on(2, 60);
    keys.press(1, 20);
    keys.press(2, 50);
    keys.off(2, 60);
    expect(heard(stage)).toEqual([[60, 20, 64]]);
    keys.off(1, 60);
    expect(heard(stage)).toEqual([]);
  });

  test.each(['mpe', 'multichannel', 'mts'] as const)(
    'over %s: its pedal holds every finger’s notes',
    (kind) => {
      const { stage, keys } = setUp('auto', { kind });
      keys.configure(15);
      keys.on(1, 60);
      keys.on(2, 64);
      keys.control(64, 127);
      keys.off(1, 60);
      keys.off(2, 64);
      expect(stage.model().voices).toHaveLength(2);
      expect(stage.session.line.tuner.notes).toHaveLength(2);
      keys.control(64, 0);
      expect(stage.model().voices).toEqual([]);
      expect(stage.session.line.tuner.notes).toEqual([]);
    },
  );

  test('has its pedal, program and volume sent once, and those of a member not at all', () => {
    const { stage, keys, during } = setUp();
    keys.configure(15);
    for (const finger of [1, 2, 3]) keys.on(finger, 60 + finger);
    const zone = during(() => {
      keys.control(64, 127);
      keys.control(7, 90);
      stage.keys.feed(0xc0, 5);
    });
    expect(zone).toEqual([
      [0xb0, 64, 127],
      [0xb0, 7, 90],
      [0xc0, 5],
    ]);
    const member = during(() => {
      stage.keys.feed(0xb2, 64, 0);
      stage.keys.feed(0xb2, 7, 10);
      stage.keys.feed(0xc2, 9);
    });
    expect(member).toEqual([]);
  });

  test('has a wheel that bends every finger’s note by two semitones, beside its own bend', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.on(1, 60);
    keys.on(2, 72);
    keys.bend(2, 8192 + 171);
    const before = cents(stage);
    stage.keys.feed(0xe0, 0, 96);
    expect(cents(stage).map((pitch, i) => pitch - before[i])).toEqual([
      expect.closeTo(100, 0),
      expect.closeTo(100, 0),
    ]);
  });

  test('has two semitones of wheel again after a configuration message, whatever its range was', () => {
    const { stage, keys } = setUp();
    keys.range(0, 12);
    keys.configure(15);
    keys.on(1, 60);
    stage.keys.feed(0xe0, 0, 96);
    expect(cents(stage)[0]).toBeCloseTo(6100, 0);
  });

  test('has a bend range that RPN 0 on any member sets for all', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.range(5, 24);
    keys.on(1, 60);
    keys.bend(1, 8192 + 4096);
    expect(cents(stage)[0]).toBeCloseTo(7200, 0);
  });

  test('plays on channel 10 as on any other', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.on(9, 60);
    expect(stage.session.line.tuner.notes).toMatchObject([{ part: 0, finger: 9, key: 60 }]);
  });

  test('keeps the bend of a released note while the pedal holds it, whatever its finger does next', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.control(64, 127);
    keys.bend(1, 8192 + 171);
    keys.on(1, 60);
    keys.press(1, 40);
    keys.off(1, 60);
    const [before] = cents(stage);
    keys.press(1, 0);
    keys.bend(1, 8192 - 171);
    keys.on(1, 72);
    expect(cents(stage)[0]).toBe(before);
    expect(heard(stage)).toEqual([
      [60, 40, 64],
      [72, 0, 64],
    ]);
  });

  test('silences one finger by a mode message on its channel, and all by one on the manager', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    for (const finger of [1, 2, 3]) keys.on(finger, 60 + finger);
    stage.keys.feed(0xb1, 123, 0);
    expect(heard(stage).map(([key]) => key)).toEqual([62, 63]);
    stage.keys.feed(0xb2, 120, 0);
    expect(heard(stage).map(([key]) => key)).toEqual([63]);
    keys.on(4, 64);
    keys.control(123, 0);
    expect(stage.model().voices).toEqual([]);
    expect(stage.session.line.tuner.notes).toEqual([]);
  });
});

describe('over MIDI tuning', () => {
  test('a finger’s bend tunes its key, its pressure is the key’s, and its CC 74 the channel’s', () => {
    const { stage, keys } = setUp('auto', { kind: 'mts' });
    keys.configure(15);
    keys.press(1, 20);
    keys.on(1, 60);
    keys.on(2, 72);
    keys.press(2, 50);
    keys.slide(2, 90);
    const before = cents(stage);
    keys.bend(2, 8192 + 171);
    const model = stage.model();
    expect(cents(stage)[1] - before[1]).toBeCloseTo((4800 * 171) / 8192, 1);
    expect(cents(stage)[0]).toBe(before[0]);
    expect([model.keyPressures[60], model.keyPressures[72]]).toEqual([20, 50]);
    expect(model.channels[0].controllers[74]).toBe(90);
    expect(model.faults).toEqual([]);
    // No zone at the receiver: each part has one channel of it.
    expect(stage.synth.messages.filter(([status, data1]) => status === 0xb0 && data1 === 6)).toEqual([
      [0xb0, 6, 0],
    ]);
  });
});

describe('the setting', () => {
  test.each([
    ['lower', 0x91, 0, 1],
    ['lower', 0x9f, 0, 15],
    ['upper', 0x9e, 15, 1],
    ['upper', 0x90, 15, 15],
    ['both', 0x97, 0, 7],
    ['both', 0x98, 15, 7],
    ['auto', 0x93, 3, 0],
    ['off', 0x93, 3, 0],
  ] as const)('%s: a note with status %i is of part %i and finger %i', (mpe, status, part, finger) => {
    const { stage } = setUp(mpe);
    stage.keys.feed(status, 60, 80);
    expect(stage.session.line.tuner.notes).toMatchObject([{ part, finger }]);
  });

  test('off: a configuration message changes nothing, and is not passed on', () => {
    const { stage, keys, during } = setUp('off');
    expect(during(() => keys.configure(15)).filter(([, controller]) => controller === 6)).toEqual([]);
    stage.keys.feed(0x93, 60, 80);
    expect(stage.session.line.tuner.notes).toMatchObject([{ part: 3, finger: 0 }]);
  });

  test('lower: gives way to a configuration message', () => {
    const { stage } = setUp('lower');
    new MpeKeys(stage.keys).configure(0);
    stage.keys.feed(0x93, 60, 80);
    expect(stage.session.line.tuner.notes).toMatchObject([{ part: 3, finger: 0 }]);
  });

  test('of another bend range is that of the manager’s wheel, after a configuration message too', () => {
    const settings = stageSettings();
    const stage = new Stage({ ...settings, inputs: [{ ...settings.inputs[0], bendRange: 12 }] });
    stage.wait(600);
    const keys = new MpeKeys(stage.keys);
    keys.configure(15);
    keys.on(1, 60);
    stage.keys.feed(0xe0, 0, 96);
    expect(cents(stage)[0]).toBeCloseTo(6600, 0);
  });
});

describe('a change of zones', () => {
  test('ends the notes of channels that leave, and their note-offs end nothing else', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.on(1, 60);
    keys.on(9, 64);
    keys.configure(4);
    expect(heard(stage).map(([key]) => key)).toEqual([60]);
    keys.off(9, 64);
    keys.off(1, 60);
    expect(heard(stage)).toEqual([]);
    expect(stage.session.line.tuner.notes).toEqual([]);
  });

  test('ends the notes and lifts the pedals of channels that become members', () => {
    const { stage, keys } = setUp();
    stage.keys.feed(0xb3, 64, 127);
    stage.keys.feed(0x93, 60, 80);
    stage.keys.feed(0x90, 67, 80);
    keys.configure(15);
    expect(heard(stage).map(([key]) => key)).toEqual([67]);
    stage.keys.feed(0x83, 60, 64);
    stage.keys.feed(0x80, 67, 64);
    expect(heard(stage)).toEqual([]);
  });

  test('to the same zone ends nothing', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.on(1, 60);
    keys.configure(15);
    expect(heard(stage).map(([key]) => key)).toEqual([60]);
  });

  test('by the other zone’s message shrinks a zone', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.on(9, 60);
    keys.on(2, 64);
    const upper = new MpeKeys(stage.keys, 15);
    upper.configure(8);
    expect(heard(stage).map(([key]) => key)).toEqual([64]);
    upper.on(2, 72);
    upper.press(2, 33);
    keys.press(2, 44);
    expect(heard(stage)).toEqual([
      [64, 44, 64],
      [72, 33, 64],
    ]);
  });

  test('is remembered when the settings change, and so is the range of its fingers', () => {
    const { stage, keys } = setUp();
    keys.configure(15);
    keys.range(4, 24);
    stage.session.reload({ ...stage.session.settings, fuse: 7777 });
    keys.on(1, 60);
    keys.bend(1, 8192 + 4096);
    expect(stage.session.line.tuner.notes).toMatchObject([{ part: 0, finger: 1 }]);
    expect(cents(stage)[0]).toBeCloseTo(7200, 0);
  });
});

test('a keyboard that is pulled out with fingers down leaves nothing sounding, bent or pressed', () => {
  const { stage, keys } = setUp();
  keys.configure(15);
  keys.bend(1, 9000);
  keys.press(1, 40);
  keys.on(1, 60);
  keys.control(64, 127);
  keys.off(1, 60);
  keys.on(2, 64);
  stage.keys.unplug();
  stage.wait(600);
  expect(stage.model().voices).toEqual([]);
  stage.keys = stage.machine.plugKeys('Keys');
  stage.wait(1500);
  stage.session.act({ action: 'home-next' });
  keys.on(1, 60);
  expect(heard(stage)).toEqual([[60, 0, 64]]);
  expect(cents(stage)[0]).toBeCloseTo(6000, 0);
});

test('on a DIN cable a note-on comes after the expression that its finger has set', () => {
  const { stage, keys, during } = setUp('auto', { wire: 'din' });
  keys.configure(15);
  stage.wait(500);
  const sent = during(() => {
    keys.bend(3, 8192 + 2048);
    keys.slide(3, 90);
    keys.press(3, 11);
    keys.on(3, 69, 33);
  });
  expect(sent.at(-1)).toEqual([0x91, 69, 33]);
  expect(sent).toHaveLength(4);
});
