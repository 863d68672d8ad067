import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Performance } from '../../src/app/performance.js';
import { type Timeline, toTimeline } from '../../src/core/score/index.js';
import type { Player } from '../../src/core/sound/index.js';
import { buildMidi } from '../support/build-midi.js';
import { musicalFile } from '../support/musical-files.js';
import { forAll } from '../support/properties.js';

const RATE = 48_000;

/** Writes down when it is told what, and sounds nothing; a note dies away in a second. */
class Scribe implements Player {
  readonly told: [frame: number, what: string][] = [];
  frame = 0;
  resets = 0;
  finishedAt = -1;
  readonly percussion = 0;
  readonly unknownTunings = 0;
  channel(status: number, data1: number): void {
    this.told.push([this.frame, `${status} ${data1}`]);
  }
  system(bytes: Uint8Array): void {
    this.told.push([this.frame, [...bytes].join(' ')]);
  }
  reset(): void {
    this.resets++;
  }
  finish(): void {
    expect(this.finishedAt).toBe(-1);
    this.finishedAt = this.frame;
  }
  add(left: Float64Array, _right: Float64Array, from: number, to: number): void {
    for (let i = from; i < to; i++) left[i] += 1;
    this.frame += to - from;
  }
  get isSilent(): boolean {
    return this.finishedAt >= 0 && this.frame >= this.finishedAt + RATE;
  }
}

function play(timeline: Timeline, blockFrames: number) {
  const players = Array.from({ length: timeline.receivers }, () => new Scribe());
  const performance = new Performance(timeline, players, RATE);
  const [left, right] = [new Float64Array(blockFrames), new Float64Array(blockFrames)];
  while (!performance.isOver) {
    performance.sound(left, right);
    // Each player has sounded each frame once.
    expect(left.every((sample) => sample === players.length)).toBe(true);
  }
  return { players, performance };
}

test('a performance carries out messages at the frame of their time, releases all at its end, and lets the last notes fade', () => {
  const file = buildMidi([[0.25, 2, 60]]);
  const { players, performance } = play(toTimeline(file), 1000);
  expect(players[0].told).toEqual([
    [6000, '144 60'],
    [48_000, '128 60'],
  ]);
  expect(players[0].finishedAt).toBe(48_000);
  expect(performance.frame).toBe(96_000);
});

test('a performance is the same in blocks of any size, with every message carried out by its own player', () => {
  forAll([musicalFile, fc.constantFrom(64, 777, 4096)], 20, (file, blockFrames) => {
    const timeline = toTimeline(file);
    const told = (frames: number) =>
      play(timeline, frames).players.map((player) => ({ told: player.told, at: player.finishedAt }));
    const coarse = told(10_000);
    expect(told(blockFrames)).toEqual(coarse);
    const resets = [...timeline.system.values()].filter((bytes) => bytes[1] === 0x7e).length;
    const count = coarse.reduce((sum, player) => sum + player.told.length, 0);
    expect(count + resets).toBe(timeline.timesMs.length);
  });
});

test('a reset of the receiver in a performance reaches every player', () => {
  const timeline: Timeline = {
    lengthMs: 0,
    receivers: 2,
    timesMs: Float64Array.of(0),
    receiverOf: Uint16Array.of(1),
    messages: new Uint8Array(3),
    system: new Map([[0, Uint8Array.of(0xf0, 0x7e, 0x7f, 9, 1, 0xf7)]]),
    pieces: 1,
  };
  expect(play(timeline, 512).players.map((player) => player.resets)).toEqual([1, 1]);
});

test('a performance cuts a sound that never fades after half a minute', () => {
  class Endless extends Scribe {
    override get isSilent(): boolean {
      return false;
    }
  }
  const performance = new Performance(toTimeline(buildMidi([[0, 1, 60]])), [new Endless()], RATE);
  const [left, right] = [new Float64Array(48_000), new Float64Array(48_000)];
  while (!performance.isOver) performance.sound(left, right);
  expect(performance.frame / RATE).toBeCloseTo(30.5, -1);
});

test('a performance of an empty file is over at once', () => {
  expect(play(toTimeline(buildMidi([])), 512).performance.frame).toBeLessThanOrEqual(48_512);
});
