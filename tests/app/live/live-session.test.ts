import { describe, expect, test } from 'vitest';
import { toMeanFromHome } from '../../../src/core/tuner/index.js';
import { numbers } from '../../support/numbers.js';
import { Stage, stageSettings } from '../../support/stage.js';
import { SynthModel } from '../../support/synth-model.js';

/** Cents of each voice away from 12 equal, by key, lowest first. */
function centsOf(stage: Stage): number[] {
  const model = stage.model();
  return model.voices.map((voice) => model.centsOf(voice)).sort((a, b) => a - b);
}

describe('a live session', () => {
  test('plays a triad pure: 4:5:6 on three channels', () => {
    const stage = new Stage().strike(60, 64, 67).wait(200);
    const [root, third, fifth] = centsOf(stage);
    // Half a bend step for each of the two notes, at a range of 48 semitones.
    expect(Math.abs(third - root - 386.314)).toBeLessThan(0.6);
    expect(Math.abs(fifth - root - 701.955)).toBeLessThan(0.6);
    expect(stage.model().faults).toEqual([]);
  });

  test('silences what an earlier run may have left before it plays', () => {
    const first = new Stage().synth.messages;
    for (let channel = 0; channel < 16; channel++) {
      expect(first).toContainEqual([0xb0 | channel, 123, 0]);
      expect(first).toContainEqual([0xb0 | channel, 120, 0]);
    }
  });

  test('runs without its ports, and opens them when they come', () => {
    const stage = new Stage(stageSettings({}));
    stage.keys.unplug();
    stage.synth.unplug();
    stage.wait(1000);
    expect(stage.told().filter((kind) => kind === 'lost')).toHaveLength(2);
    stage.keys = stage.machine.plugKeys('Keys');
    stage.synth = stage.machine.plugSynth('Synth');
    stage.wait(1000).strike(60, 64).wait(100);
    expect(stage.model().voices).toHaveLength(2);
  });

  test('releases all that a keyboard held when its cable is pulled, pedals included', () => {
    const stage = new Stage().strike(60, 64, 67).wait(100);
    stage.keys.feed(0xb0, 64, 127);
    stage.lift(60);
    stage.keys.unplug();
    stage.wait(1000);
    expect(stage.model().voices).toEqual([]);
    expect(stage.model().controllerOf(1, 64)).toBe(0);
  });

  test('comes home by itself in time, and asks for no more ticks there', () => {
    const stage = new Stage(stageSettings({}, { strategy: 'pull', rateCentsPerSecond: 1, leewayCents: 0 }));
    stage.play(numbers('48 67 72 76, 45 69 72 76, 50 69 74 77, 43 67 74 71'), 1500);
    stage.strike(48, 67, 72, 76).wait(50);
    const far = Math.abs(toMeanFromHome(stage.session.line.tuner));
    expect(far).toBeGreaterThan(0.5);
    stage.wait(20_000);
    expect(Math.abs(toMeanFromHome(stage.session.line.tuner))).toBeLessThan(1e-6);
    expect(stage.session.tickMs).toBe(Infinity);
    const sent = stage.synth.messages.length;
    stage.wait(5000);
    expect(stage.synth.messages).toHaveLength(sent);
  });

  test('stops with note-offs, pedals up, all sound off and bends centred', () => {
    const stage = new Stage().strike(60, 64, 67).wait(100);
    stage.keys.feed(0xb0, 64, 127);
    stage.session.stop();
    const model = stage.model();
    expect(model.voices).toEqual([]);
    expect(model.noteOffs).toBe(3);
    for (const { bend, controllers } of model.channels) {
      expect(bend).toBe(8192);
      expect(controllers[64]).toBe(0);
    }
    expect(stage.ports.openLinks).toBe(0);
    stage.session.stop();
  });

  test('passes what it does not tune, and silences that too', () => {
    const settings = stageSettings();
    const stage = new Stage({ ...settings, inputs: [{ ...settings.inputs[0], channels: [0] }] });
    stage.keys.feed(0x99, 36, 100);
    expect(stage.synth.messages.at(-1)).toEqual([0x99, 36, 100]);
    stage.session.panic();
    expect(stage.synth.messages).toContainEqual([0x89, 36, 64]);
  });

  test('silences a synth that was replugged on every channel it was ever played on', () => {
    const base = stageSettings();
    const both = { ...base, inputs: [{ ...base.inputs[0], channels: [0, 1] }] };
    for (const kind of ['mpe', 'multichannel', 'mts'] as const) {
      const stage = new Stage({ ...both, outlets: [{ ...base.outlets[0], kind }] });
      const model = new SynthModel();
      const hear = (messages: readonly number[][]) => {
        for (const [status, data1, data2 = 0] of messages.filter(([first]) => first < 0xf0))
          model.channel(status, data1, data2);
      };
      // Tuned on two channels, and drums that pass: all of it down when the cable goes, and up before it is back.
      stage.keys.feed(0x90, 60, 80);
      stage.keys.feed(0x91, 64, 80);
      stage.keys.feed(0x99, 36, 100);
      hear(stage.synth.messages);
      expect(model.voices.length).toBe(3);
      stage.synth.unplug();
      stage.wait(600);
      stage.keys.feed(0x80, 60, 64);
      stage.keys.feed(0x81, 64, 64);
      stage.keys.feed(0x89, 36, 64);
      stage.synth = stage.machine.plugSynth('Synth');
      stage.wait(1000);
      hear(stage.synth.messages);
      expect([kind, model.voices.length]).toEqual([kind, 0]);
    }
  });

  test('passes clock and SysEx whole, unless the settings forbid it', () => {
    const sysex = [0xf0, 0x7d, 1, 2, 3, 0xf7];
    const stage = new Stage();
    stage.keys.feed(0xf8);
    stage.keys.feed(...sysex);
    expect(stage.synth.messages.slice(-2)).toEqual([[0xf8], sysex]);
    const deaf = new Stage(stageSettings({ systemMessages: false }));
    const before = deaf.synth.messages.length;
    deaf.keys.feed(0xf8);
    deaf.keys.feed(...sysex);
    expect(deaf.synth.messages).toHaveLength(before);
  });

  test('sets a synth up again that was reset by a message that passed', () => {
    const stage = new Stage().strike(60).wait(100);
    stage.keys.feed(0xf0, 0x7e, 0x7f, 0x09, 0x01, 0xf7);
    const passed = stage.synth.messages.length;
    stage.strike(64);
    const after = stage.synth.messages.slice(passed);
    expect(after).toContainEqual([0xb1, 101, 0]);
    expect(after.at(-1)?.[0]).toBe(0x91);
  });

  test('counts the time of each message', () => {
    const stage = new Stage().strike(60, 64).wait(100);
    expect(stage.session.latency.quantiles().count).toBe(2);
  });
});

describe('a live session on a DIN cable', () => {
  const chord = [36, 43, 48, 52, 55, 60, 64, 67, 72, 76];
  const struck = [62, 65, 69, 74];

  /** How long after it was struck the last note of a chord comes out of the cable, while ten tied notes glide. */
  function lateness(wire: 'din' | 'fast'): number {
    const settings = stageSettings({}, { strategy: 'anchored', leewayCents: 0, glideMs: 400 });
    const outlets = [{ ...settings.outlets[0], wire, kind: 'multichannel' as const, bendRange: 2 }];
    const stage = new Stage({ ...settings, outlets }, 3125);
    stage
      .wait(2000)
      .strike(...chord)
      .wait(1000);
    // A note far off moves the body, and everything tied begins to glide.
    stage.strike(81).wait(95);
    const struckMs = stage.nowMs;
    stage.strike(...struck);
    const ons = stage.synth.received.filter(
      ({ bytes, sentMs }) => sentMs === struckMs && (bytes[0] & 0xf0) === 0x90,
    );
    expect(ons).toHaveLength(4);
    stage.wait(2000);
    const { session } = stage;
    const model = stage.model();
    const heard = model.voices.map((voice) => model.centsOf(voice)).sort((a, b) => a - b);
    const wanted = session.line.tuner.notes.map((note) => note.reportedCents).sort((a, b) => a - b);
    for (const [i, cents] of heard.entries()) expect(Math.abs(cents - wanted[i])).toBeLessThan(0.02);
    return Math.max(...ons.map(({ arrivedMs }) => arrivedMs)) - struckMs;
  }

  test('sends a chord struck during a glide before the bends of the glide', () => {
    // Four notes and the bends before them: 24 bytes, 7.7 ms; and what was under way when they were struck.
    expect(lateness('din')).toBeLessThan(7.7 + 2);
    expect(lateness('fast')).toBeGreaterThan(lateness('din') + 5);
  });
});
