import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { LiveSettings } from '../../../src/app/live/live-settings.js';
import { times } from '../../support/properties.js';
import { createRandom } from '../../support/random.js';
import { Stage, stageSettings } from '../../support/stage.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;
const ON = 0x90;
const OFF = 0x80;

/** The same on each outlet, tuned and not: the keyboard plays on channel 1, where the outlets' own channels are, too. */
const ROUTES = KINDS.flatMap((kind) =>
  [undefined, [5]].map(
    (channels) => [`${kind}, ${channels ? 'not tuned' : 'tuned'}`, kind, channels] as const,
  ),
);

function toSettings(
  kind: (typeof KINDS)[number],
  channels?: readonly number[],
  bendRange?: number,
): LiveSettings {
  const base = stageSettings();
  const input = { ...base.inputs[0], channels, bendRange: bendRange ?? 2 };
  return stageSettings({ inputs: [input], outlets: [{ ...base.outlets[0], kind }] });
}

/** A second keyboard beside the first. */
function toPair(settings: LiveSettings): LiveSettings {
  return { ...settings, inputs: [...settings.inputs, { ...settings.inputs[0], port: 'More Keys' }] };
}

function expectPlaying(stage: Stage): void {
  expect(stage.told()).not.toContain('loop-found');
  expect(stage.told()).not.toContain('fuse-open');
  expect(stage.session.inputs.some(({ isClosed }) => isClosed)).toBe(false);
}

describe.each(ROUTES)('no loop is found (%s) in', (_, kind, channels) => {
  const start = () => new Stage(toSettings(kind, channels));

  test('a chord repeated 30 times a second at one velocity', () => {
    const stage = start();
    for (let n = 0; n < 150; n++) {
      for (const key of [60, 64, 67, 72]) stage.keys.feed(ON | 1, key, 100);
      stage.wait(16);
      for (const key of [60, 64, 67, 72]) stage.keys.feed(OFF | 1, key, 64);
      stage.wait(1000 / 30 - 16);
    }
    expectPlaying(stage);
  });

  test('a roll of pads that send note-ons alone, 30 a second', () => {
    const stage = start();
    for (let n = 0; n < 150; n++) {
      for (const key of [36, 42]) stage.keys.feed(ON | 1, key, 127);
      stage.wait(1000 / 30);
    }
    expectPlaying(stage);
  });

  test('rolls whose strokes come up to 8 ms early or late', () => {
    const stage = start();
    const random = createRandom(7);
    const atMs: number[] = [];
    for (let n = 0; n < 150; n++) atMs.push((n * 1000) / 30 + random(17) - 8);
    const startMs = stage.nowMs + 10;
    for (const ms of atMs) {
      stage.wait(Math.max(0, startMs + ms - stage.nowMs));
      stage.keys.feed(ON | 1, 38, 127);
    }
    expectPlaying(stage);
  });

  test.each([2, 4, 8])('steps of a sequencer that each ring %i times, at 140 beats a minute', (ratchets) => {
    const stage = start();
    const stepMs = 60_000 / 140 / 4;
    for (let step = 0; step < 32; step++) {
      // Every other step, or the note of the next is another.
      const key = step % 2 === 0 ? 60 : 67;
      for (let n = 0; n < ratchets; n++) {
        stage.keys.feed(ON | 1, key, 100);
        stage.wait(stepMs / ratchets / 2);
        stage.keys.feed(OFF | 1, key, 0);
        stage.wait(stepMs / ratchets / 2);
      }
    }
    expectPlaying(stage);
  });

  test('the same bend before each note', () => {
    const stage = start();
    for (let n = 0; n < 100; n++) {
      stage.keys.feed(0xe1, 0, 48);
      stage.keys.feed(ON | 1, 60, 100);
      for (let value = 48; value <= 64; value += 4) {
        stage.keys.feed(0xe1, 0, value);
        stage.wait(5);
      }
      stage.keys.feed(OFF | 1, 60, 64);
      stage.wait(20);
    }
    expectPlaying(stage);
  });

  test('two keyboards that double the same keys', () => {
    const stage = new Stage(toPair(toSettings(kind, channels)));
    const more = stage.machine.plugKeys('More Keys');
    stage.wait(600);
    for (let n = 0; n < 100; n++) {
      for (const status of [ON | 1, OFF | 1]) {
        stage.keys.feed(status, 60, 100);
        stage.wait(n % 12);
        more.feed(status, 60, 100);
        stage.wait(30);
      }
    }
    expectPlaying(stage);
  });

  test('a keyboard that comes in by two cables: each note is played twice', () => {
    const stage = new Stage(toPair(toSettings(kind, channels)));
    const more = stage.machine.plugKeys('More Keys');
    stage.wait(600);
    for (let n = 0; n < 100; n++) {
      for (const bytes of [
        [ON | 1, 60, 100],
        [0xe1, 0, 70],
        [0xf0, 0x7d, 1, 0xf7],
        [OFF | 1, 60, 64],
      ]) {
        stage.keys.feed(...bytes);
        more.feed(...bytes);
        stage.wait(9);
      }
    }
    expectPlaying(stage);
    expect(stage.model().noteOns).toBe(200);
  });

  test('a clock of 300 beats a minute, with a SysEx in each bar', () => {
    const stage = start();
    for (let tick = 0; tick < 500; tick++) {
      stage.keys.feed(0xf8);
      if (tick % 24 === 0) stage.keys.feed(0xf0, 0x7d, 1, 0xf7);
      stage.wait(60_000 / 300 / 24);
    }
    expectPlaying(stage);
  });

  test('a panic between two chords that are the same', () => {
    const stage = start();
    stage.strike(60, 64, 67).wait(100);
    stage.session.panic();
    stage.lift(60, 64, 67).wait(1000);
    stage.strike(60, 64, 67).wait(100);
    expect(stage.model().voices).toHaveLength(3);
  });
});

describe.each(KINDS)('no loop is found over %s, however one plays', (kind) => {
  /** A hand on an MPE keyboard: a finger a channel, each with its bend, pressure and notes of few keys and velocities. */
  const act = fc.record({
    waitMs: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 40 }), fc.integer({ min: 100, max: 600 })),
    channel: fc.integer({ min: 0, max: 3 }),
    key: fc.integer({ min: 60, max: 64 }),
    velocity: fc.constantFrom(64, 100),
    bend: fc.constantFrom(0, 8192, 8000, 8215, 16383),
    what: fc.constantFrom('tap', 'on', 'off', 'bend', 'stroke', 'pressure', 'pedal'),
  });

  test.each([2, 48])('on a wheel of %i semitones', (bendRange) => {
    fc.assert(
      fc.property(fc.array(act, { minLength: 50, maxLength: 400, size: 'max' }), (acts) => {
        const stage = new Stage(toSettings(kind, undefined, bendRange));
        for (const { waitMs, channel, key, velocity, bend, what } of acts) {
          // Nobody strikes a key 40 times a second.
          stage.wait(what === 'tap' || what === 'on' ? Math.max(26, waitMs) : waitMs);
          const { keys } = stage;
          if (what === 'bend' || what === 'stroke') keys.feed(0xe0 | channel, bend & 127, bend >> 7);
          if (what === 'tap' || what === 'on' || what === 'stroke') keys.feed(ON | channel, key, velocity);
          if (what === 'tap' || what === 'off') keys.feed(OFF | channel, key, 64);
          if (what === 'pedal') keys.feed(0xb0 | channel, 64, velocity === 64 ? 0 : 127);
          if (what === 'pressure') for (let n = 0; n < 8; n++) keys.feed(0xd0 | channel, n);
        }
        expectPlaying(stage);
      }),
      { numRuns: times(200) },
    );
  });
});
