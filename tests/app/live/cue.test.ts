import { describe, expect, test } from 'vitest';
import { toCueNotes } from '../../../src/app/live/cue.js';
import { DEFAULT_INPUT, DEFAULT_OUTLET, type LiveSettings } from '../../../src/app/live/live-settings.js';
import { parseTonic, toHome } from '../../../src/core/theory/index.js';
import { STRATEGIES, toSettings } from '../../../src/core/tuner/index.js';
import { numbers } from '../../support/numbers.js';
import { Stage, stageSettings, toModel } from '../../support/stage.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;
/** Half a bend step of a zone. */
const HALF_STEP = 0.3;

function homeOn(name: string) {
  const tonic = parseTonic(name);
  if (!tonic.ok) throw new RangeError(name);
  return toHome({ kind: 'just', tonic: tonic.value });
}

/** Note-ons and note-offs a synth was sent, with when, and the pitch of each note-on. */
function notesOf(
  stage: Stage,
  synth = stage.synth,
): { on: boolean; key: number; atMs: number; cents: number }[] {
  return synth.received.flatMap(({ bytes, sentMs }, i) => {
    const type = bytes[0] & 0xf0;
    if (type !== 0x90 && type !== 0x80) return [];
    const model = toModel(synth.messages.slice(0, i + 1));
    const voice = model.voices.at(-1);
    const cents = type === 0x90 && voice !== undefined ? model.centsOf(voice) : Number.NaN;
    return [{ on: type === 0x90, key: bytes[1], atMs: sentMs, cents }];
  });
}

/** C, A, D, G and C with the common tones tied: falls one syntonic comma. Then silence. */
function pump(stage: Stage): void {
  let down: number[] = [];
  for (const keys of [...numbers('48 67 72 76, 45 69 72 76, 50 69 74 77, 43 67 74 71, 48 67 72 76'), []]) {
    stage
      .lift(...down.filter((key) => !keys.includes(key)))
      .strike(...keys.filter((key) => !down.includes(key)));
    stage.wait(900);
    down = [...keys];
  }
}

function ask(stage: Stage): Stage {
  stage.session.act({ action: 'cue' });
  return stage;
}

describe('the notes of the cue', () => {
  test.each(STRATEGIES.map((strategy, i) => [strategy, i + 1] as const))(
    'under %s are %i short ones, then a long one',
    (strategy, count) => {
      const notes = toCueNotes(toSettings({ strategy }), -21.5);
      expect(notes.map(({ cents }) => cents)).toEqual([...Array(count).fill(6000), 5978.5]);
      const lengths = notes.map(({ onMs, offMs }) => offMs - onMs);
      expect(Math.min(...lengths.slice(-1))).toBeGreaterThan(3 * Math.max(...lengths.slice(0, -1)));
      // One after the other.
      for (let i = 1; i < notes.length; i++) expect(notes[i].onMs).toBeGreaterThan(notes[i - 1].offMs);
    },
  );

  test.each([
    ['C', 60],
    ['F#', 66],
    ['G', 55],
    ['Bb', 58],
    ['B', 59],
  ])('are on the tonic %s in the octave around middle C, at the pitch of A: key %i', (tonic, key) => {
    const [{ key: first, cents }] = toCueNotes(toSettings({ home: homeOn(tonic), referenceCents: 12 }), 0);
    expect([first, cents]).toEqual([key, 100 * key + 12]);
  });
});

describe.each(KINDS)('the cue over %s', (kind) => {
  const create = (changes: Partial<LiveSettings> = {}) =>
    new Stage(
      stageSettings(
        { outlets: [{ ...DEFAULT_OUTLET, port: 'Synth', virtual: false, kind }], ...changes },
        { strategy: 'free' },
      ),
    );

  test('lets the drift be heard as the distance of its two pitches, quietly, and leaves silence', () => {
    const stage = create();
    pump(stage);
    const before = notesOf(stage).length;
    ask(stage).wait(3000);
    const notes = notesOf(stage).slice(before);
    expect(notes.map(({ on }) => on)).toEqual([true, false, true, false]);
    const [short, , long] = notes;
    expect(Math.abs(short.cents - 6000)).toBeLessThan(HALF_STEP);
    expect(Math.abs(long.cents - short.cents + 21.506)).toBeLessThan(2 * HALF_STEP);
    expect(
      stage.synth.messages.filter(([status, , value]) => (status & 0xf0) === 0x90 && value === 40),
    ).toHaveLength(2);
    expect(stage.model().voices).toEqual([]);
    expect(stage.model().faults).toEqual([]);
    expect(stage.session.line.tuner.notes).toEqual([]);
    expect(stage.session.tickMs).toBe(Infinity);
  });

  test('is not heard by the tuner, and moves nothing that sounds', () => {
    const [asked, other] = [create(), create()];
    for (const stage of [asked, other]) {
      stage.strike(48, 60, 64).wait(200);
      if (stage === asked) ask(stage);
      stage.wait(100).strike(69).wait(2000);
    }
    const pitches = ({ session }: Stage) =>
      session.line.tuner.notes.map(({ reportedCents }) => reportedCents);
    expect(pitches(asked)).toEqual(pitches(other));
    const cents = (stage: Stage) =>
      stage
        .model()
        .voices.map((voice) => stage.model().centsOf(voice))
        .sort();
    expect(cents(asked)).toEqual(cents(other));
  });

  test.each(['panic', 'stop'] as const)('ends with a %s, and stays silent', (end) => {
    const stage = ask(create()).wait(50);
    expect(stage.model().voices).toHaveLength(1);
    stage.session[end]();
    const sent = stage.synth.messages.length;
    expect(stage.model().voices).toEqual([]);
    stage.wait(3000);
    expect(stage.synth.messages).toHaveLength(sent);
  });

  test('asked for again while it plays starts again', () => {
    const stage = ask(create()).wait(500);
    const before = notesOf(stage).length;
    ask(stage).wait(3000);
    const notes = notesOf(stage).slice(before);
    // The long note that was down ends, then one short and one long follow.
    expect(notes.map(({ on }) => on)).toEqual([false, true, false, true, false]);
    expect(stage.model().voices).toEqual([]);
  });

  test('keeps its channel while a pedal holds it: what is played meanwhile bends no tail of it', () => {
    const stage = create();
    stage.keys.feed(0xb0, 64, 127);
    ask(stage).wait(2500);
    // It isn't over: its channels are taken.
    expect(stage.session.tickMs).toBeLessThan(Infinity);
    const [tail] = stage.model().voices;
    const cents = stage.model().centsOf(tail);
    stage.strike(61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 71).wait(500);
    const still = stage.model().voices.find(({ serial }) => serial === tail.serial);
    expect(still && stage.model().centsOf(still)).toBe(cents);
    stage.lift(61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 71);
    stage.keys.feed(0xb0, 64, 0);
    stage.wait(100);
    expect(stage.model().voices).toEqual([]);
    expect(stage.session.tickMs).toBe(Infinity);
  });
});

describe('the cue of two keyboards with a synth each', () => {
  const on = { kind: 'controller' as const, number: 80, channel: undefined };
  const settings = stageSettings({
    inputs: [
      { ...DEFAULT_INPUT, port: 'Keys', virtual: false },
      { ...DEFAULT_INPUT, port: 'Upper', virtual: false },
      { ...DEFAULT_INPUT, port: 'Pedals', virtual: false, channels: [], role: 'untuned' },
    ],
    outlets: [
      { ...DEFAULT_OUTLET, port: 'Synth', virtual: false, from: ['Keys'] },
      { ...DEFAULT_OUTLET, port: 'Organ', virtual: false, from: ['Upper'] },
    ],
    actions: [{ on: { ...on, input: undefined }, action: 'cue', strategy: undefined }],
  });

  test.each([
    ['Upper', [0, 1]],
    ['Keys', [1, 0]],
    ['Pedals', [1, 1]],
  ])('asked for at %s is heard where that plays, or everywhere if it plays nothing', (name, heard) => {
    const stage = new Stage(settings);
    const others = ['Upper', 'Pedals'].map((port) => stage.machine.plugKeys(port));
    const organ = stage.machine.plugSynth('Organ');
    stage.wait(1000);
    [stage.keys, ...others].find((keys) => keys.name === name)?.feed(0xb0, 80, 127);
    stage.wait(50);
    expect([stage.synth, organ].map((synth) => stage.model(synth).voices.length)).toEqual(heard);
  });

  test('has the sound of the channel that was played', () => {
    const base = stageSettings({
      outlets: [{ ...DEFAULT_OUTLET, port: 'Synth', virtual: false, kind: 'multichannel' }],
    });
    const stage = new Stage(base);
    stage.keys.feed(0xc3, 19);
    stage.keys.feed(0x93, 60, 80);
    stage.keys.feed(0x83, 60, 80);
    ask(stage).wait(50);
    expect(stage.model().voices[0].program).toBe(19);
  });
});
