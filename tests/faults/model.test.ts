import { describe, expect, test } from 'vitest';
import { DEFAULT_SPLIT, type SplitConfig } from '../../src/app/live/split-settings.js';
import { ACTION, type Action, toWords } from '../../src/core/settings/index.js';
import { type SoundingNote, STRATEGIES, type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import { allKnobs } from '../support/all-knobs.js';
import { createRandom } from '../support/random.js';
import { Stage, stageSettings } from '../support/stage.js';
import { SynthModel } from '../support/synth-model.js';

/** Random events in all; `npm run test:model` plays a million. */
const EVENTS = Number(process.env.LEEWAY_MODEL_EVENTS ?? 60_000);
/** `LEEWAY_SEED=7` plays others, as it does for properties. */
const SEED = Number(process.env.LEEWAY_SEED ?? 1);
const KINDS = ['mpe', 'multichannel', 'mts'] as const;
const ACTIONS = toWords(ACTION.do) as Action[];
const KNOBS = allKnobs('Pedals');
const PRESETS = [
  { strategy: 'pull', limit: 7, referenceCents: 8 },
  { strategy: 'free', held: 'stay', referenceCents: -30 },
  { strategy: 'temper', recallCents: 12 },
].map((changes, i) => ({
  name: `${i}`,
  tuner: toSettings(changes as Partial<TunerSettings>),
  leewayCents: undefined,
}));
/** What the cue plays has this velocity, and no note of the players. */
const CUE = 40;
/** How far a pitch may be off, in cents: half a bend step at the outlet's default range, or half a step of a tuning. */
const STEP_CENTS = { mpe: 4800 / 8192, multichannel: 200 / 8192, mts: 100 / 16384 };

/** A stage whose synth is a model that hears each message as it is sent, and keeps none. */
class Watched extends Stage {
  hearing = new SynthModel();

  listen(): void {
    const { synth } = this;
    synth.receive = (bytes) => {
      synth.sends++;
      if (!synth.isPlugged) return;
      if (bytes[0] < 0xf0) this.hearing.channel(bytes[0], bytes[1], bytes[2] ?? 0);
      else this.hearing.system(bytes);
      this.hearing.log.length = 0;
    };
  }

  replug(): void {
    this.synth.unplug();
    this.wait(600);
    this.synth = this.machine.plugSynth('Synth');
    this.hearing = new SynthModel();
    this.listen();
    this.wait(1000);
  }
}

/**
 * What each tuned note is to sound now, the player's wheel and the bypass counted in.
 * @param bends by id what each note's finger adds to it, as it was when its key came up
 */
function toWanted(
  stage: Stage,
  wheelCents: readonly number[],
  bends: Map<number, number>,
): { keyDown: boolean; key: number; cents: number }[] {
  const { line } = stage.session;
  const { referenceCents } = line.tuner.settings;
  const toCents = (note: SoundingNote) =>
    line.isBypassed ? 100 * note.key + referenceCents : note.reportedCents;
  for (const { id, finger, keyDown } of line.tuner.notes)
    if (keyDown) bends.set(id, finger === 0 ? 0 : wheelCents[finger]);
  return line.tuner.notes
    .filter(({ fixedCents }) => fixedCents === undefined)
    .map((note) => ({
      keyDown: note.keyDown,
      key: note.key,
      cents: toCents(note) + wheelCents[note.part % 16] + bends.get(note.id)!,
    }));
}

/**
 * One keyboard with all its keys; split in two, with a layer an octave higher over the upper part; and one of MPE, whose
 * wheels are those of its manager and its fingers.
 */
const LAYOUTS = ['whole', 'split', 'fingers'] as const;
/** Channels of the keyboard: more than one channel's notes, and few enough that each is played often. */
const CHANNELS = { whole: 2, split: 2, fingers: 10 };
const SPLITS: readonly SplitConfig[] = [
  { highest: 63, name: 'Low' },
  { lowest: 64, name: 'High' },
  { lowest: 76, name: 'Octave', transpose: 12 },
].map((its) => ({ ...DEFAULT_SPLIT, input: 'Keys', ...its }));
/** What each plays of one synth: the low keys one half of its channels, the others the other half. */
const HALVES = [
  { from: ['Low', 'Pedals'], members: 7, channels: [0, 1, 2, 3, 4, 5, 6] },
  { from: ['High', 'Octave'], members: 7, zone: 'upper', channels: [7, 8, 10, 11, 12, 13, 14, 15] },
] as const;
const CASES = KINDS.flatMap((kind) => LAYOUTS.map((layout) => [kind, layout] as const));

describe.each(CASES)('random playing over %s, the keyboard %s', (kind, layout) => {
  test('sounds each note as decided, loses none, and is silent after every drain', () => {
    const settings = stageSettings();
    const [synth, pipes] = ['Synth', 'Pipes'].map((port) => ({ ...settings.outlets[0], port, kind }));
    const stage = new Watched({
      ...settings,
      // A keyboard, pedals that are wired to the synth, and an organ that can't be tuned.
      inputs: [
        { ...settings.inputs[0], mpe: layout === 'fingers' ? 'lower' : 'auto' },
        { ...settings.inputs[0], port: 'Pedals', channels: [] },
        { ...settings.inputs[0], port: 'Organ', role: 'fixed' },
      ],
      splits: layout === 'split' ? SPLITS : [],
      outlets: [
        // Tuning messages are for a whole synth.
        ...(layout !== 'split' || kind === 'mts'
          ? [{ ...synth, from: ['Keys', 'Pedals'] }]
          : HALVES.map((half) => ({ ...synth, ...half }))),
        { ...pipes, kind: 'mts', from: ['Organ'] },
      ],
      knobs: KNOBS,
      presets: PRESETS,
      fuse: 1e9,
    });
    const feet = stage.machine.plugKeys('Pedals');
    const organ = stage.machine.plugKeys('Organ');
    stage.machine.plugSynth('Pipes');
    stage.replug();
    const random = createRandom(20_258 + 3 * SEED + KINDS.indexOf(kind));
    const wheelCents = new Array<number>(16).fill(0);
    const seen: Record<string, number> = {};
    let compared = 0;
    let givenUp = 0;
    let isGivingUp = false;
    const struckAgain = new Set<number>();
    const bends = new Map<number, number>();
    const tolerance = STEP_CENTS[kind] * 0.501 + 0.05;

    /** @param exceptCue the cue may play, which no player holds */
    const checkSilence = (exceptCue = false): void => {
      const voices = stage.hearing.voices.filter(({ velocity }) => !exceptCue || velocity !== CUE);
      if (voices.length > 0) expect(voices).toEqual([]);
    };
    const checkPitches = (): void => {
      // What only a pedal holds the receiver may hold longer than the tuner: parts of a zone share it, and a key struck
      // again ends the old note for the tuner alone.
      const played = stage.hearing.voices.filter(({ velocity }) => velocity !== CUE);
      const voices = played.filter(({ isDown }) => isDown);
      const notes = toWanted(stage, wheelCents, bends);
      const wanted = notes
        .filter(({ keyDown }) => keyDown)
        .map(({ cents }) => cents)
        .sort((a, b) => a - b);
      // Where no channel is free, or in `mts` no key beside one that is struck again and again, notes share; a wheel can carry
      // a bend to its end. Both are counted.
      const counters = stage.session.outlets.map(({ outlet }) => outlet.counters);
      const given = counters.reduce((sum, one) => sum + one.sharedNotes + one.clampedBends, 0);
      if (given !== givenUp) isGivingUp = true;
      const held = notes.length;
      if (held === 0) isGivingUp = false;
      givenUp = given;
      // But it holds none shorter: what sounds for the tuner can be heard.
      // 12 equal glides to another A, tick by tick.
      if (stage.session.line.isGliding) return;
      if (!isGivingUp && played.length < held) expect(played).toHaveLength(held);
      if (isGivingUp) return;
      // In `mts` all channels share one table, and so may notes of one time and pitch.
      const keys = new Set(stage.hearing.voices.map(({ key }) => key));
      if (kind === 'mts' && keys.size < stage.hearing.voices.length) return;
      const heard = voices.map((voice) => stage.hearing.centsOf(voice)).sort((a, b) => a - b);
      if (heard.length !== wanted.length) expect(heard).toEqual(wanted);
      compared += heard.length;
      for (let i = 0; i < heard.length; i++) {
        if (Math.abs(heard[i] - wanted[i]) > tolerance) expect(heard).toEqual(wanted);
      }
      for (const voice of played) {
        const cents = stage.hearing.centsOf(voice);
        // A key that is struck again ends the old note for the tuner, and the receiver's pedal still holds it.
        const isKnown = notes.some(({ cents: its }) => Math.abs(its - cents) <= tolerance);
        if (!isKnown && !struckAgain.has(voice.serial))
          expect(`${voice.key} rings at ${cents}`).toBe(JSON.stringify(notes));
      }
    };

    for (let n = 0; n < EVENTS / CASES.length; n++) {
      if (random(3) === 0) stage.wait(random(60));
      const channel = random(CHANNELS[layout]);
      const what = random(1000);
      const key = 40 + random(45);
      // Few enough for a channel each, most of the time.
      const isFull = stage.session.line.tuner.notes.length > 9 && random(20) > 0;
      const name =
        what < 420
          ? isFull
            ? 'off'
            : 'on'
          : what < 880
            ? 'off'
            : what < 920
              ? 'pedal'
              : what < 960
                ? 'wheel'
                : what < 975
                  ? 'mode'
                  : what < 985
                    ? 'program'
                    : what < 991
                      ? 'other'
                      : what < 996
                        ? 'knob'
                        : what < 999
                          ? 'action'
                          : 'rare';
      seen[name] = (seen[name] ?? 0) + 1;
      switch (name) {
        case 'on':
          for (const voice of stage.hearing.voices)
            if (SPLITS.some(({ transpose }) => Math.abs(voice.key - key - transpose) <= 1))
              struckAgain.add(voice.serial);
          if (random(8) === 0) organ.feed(0x90 | (channel % 2), key, toVelocity(random(126)));
          else stage.keys.feed(0x90 | channel, key, toVelocity(random(126)));
          break;
        case 'off': {
          const { notes } = stage.session.line.tuner;
          const note = notes.length > 0 ? notes[random(notes.length)] : undefined;
          const off = random(2) === 0 ? 0x80 : 0x90;
          const keys = note?.fixedCents === undefined ? stage.keys : organ;
          if (note !== undefined)
            keys.feed(off | (note.finger || note.part % 16), note.key - toMoved(stage, note), 0);
          break;
        }
        case 'pedal':
          if (random(3) > 0)
            stage.keys.feed(
              0xb0 | channel,
              toPedal(kind, layout === 'fingers' ? 0 : channel, random(3)),
              random(4) === 0 ? 127 : 0,
            );
          else feet.feed(0xb0 | channel, [64, 69][random(2)], random(4) === 0 ? 127 : 0);
          break;
        case 'wheel': {
          // A semitone each way: more would reach the end of the default range of plain channels, which is counted.
          const isFinger = layout === 'fingers' && channel > 0;
          const value = random(3) === 0 ? 8192 : isFinger ? 8192 - 170 + random(340) : 4096 + random(8192);
          wheelCents[channel] = ((value - 8192) / 8192) * (isFinger ? 4800 : 200);
          stage.keys.feed(0xe0 | channel, value & 127, value >> 7);
          break;
        }
        case 'mode':
          stage.keys.feed(0xb0 | channel, [123, 120, 121][random(3)], 0);
          // Reset All Controllers centres the wheel. RP-015.
          break;
        case 'program':
          stage.keys.feed(0xc0 | channel, random(128));
          break;
        case 'other':
          stage.keys.feed(
            ...[[0xd0 | channel, random(128)], [0xa0 | channel, key, random(128)], [0xf8]][random(3)],
          );
          break;
        case 'knob':
          feet.feed(0xb0 | channel, KNOBS[random(KNOBS.length)].controller, random(128));
          break;
        case 'action': {
          const action = ACTIONS[random(ACTIONS.length)];
          const [strategy, preset] = [STRATEGIES[random(4)], `${random(PRESETS.length)}`];
          const tonic = { keyClass: 2, fifths: 2 };
          stage.session.act({ action, strategy, preset, tonic, limit: 7 });
          if (action === 'panic') checkSilence();
          break;
        }
        case 'rare':
          if (random(3) === 0) {
            stage.replug();
            checkSilence(true);
            // Keys that were down stay silent there until they are struck again.
            stage.session.panic();
          } else if (random(2) === 0) {
            stage.keys.unplug();
            stage.wait(600);
            checkSilence(true);
            stage.keys = stage.machine.plugKeys('Keys');
            stage.wait(1000);
            wheelCents.fill(0);
          } else {
            const { fuse } = stage.session.settings;
            stage.session.reload({ ...stage.session.settings, fuse: fuse + 1 });
            checkSilence();
            // The outlets are new: they take the wheel from where it moves next.
            wheelCents.fill(0);
          }
          break;
      }
      if (name === 'mode') syncWheels(stage, wheelCents);
      checkPitches();
    }
    stage.session.stop();
    checkSilence();
    expect(stage.hearing.noteOns).toBe(stage.hearing.noteOffs);
    expect(stage.session.counters.faults).toBe(0);
    expect(Object.keys(seen)).toHaveLength(10);
    expect(compared).toBeGreaterThan(EVENTS / CASES.length / 2);
  }, 600_000);
});

/** How far a note is moved from the key that was struck. */
function toMoved({ session: { settings } }: Stage, { part }: SoundingNote): number {
  return settings.splits[part >> 4]?.transpose ?? 0;
}

/** A zone has one sostenuto pedal: while one player's foot is on it, it can't catch what another's would. */
function toPedal(kind: (typeof KINDS)[number], channel: number, which: number): number {
  return kind === 'mpe' && channel > 0 ? [64, 69, 69][which] : [64, 66, 69][which];
}

/** 1 to 127, but for that of the cue. */
function toVelocity(one: number): number {
  return one + 1 < CUE ? one + 1 : one + 2;
}

/** After a reset the wheel stands in the middle again. */
function syncWheels(stage: Stage, wheelCents: number[]): void {
  for (let channel = 0; channel < CHANNELS.fingers; channel++) {
    stage.keys.feed(0xe0 | channel, 0, 64);
    wheelCents[channel] = 0;
  }
}
