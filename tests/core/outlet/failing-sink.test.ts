import { describe, expect, test } from 'vitest';
import type { MidiSink } from '../../../src/core/midi/index.js';
import { createMpe, createMts, createMultichannel, type Outlet } from '../../../src/core/outlet/index.js';
import { SynthModel } from '../../support/synth-model.js';

/** Passes messages on, but throws at the `failAt`-th, which still reaches the receiver or doesn't. */
class FailingSink implements MidiSink {
  readonly synth = new SynthModel();
  sent = 0;
  readonly #failAt: number;
  readonly #delivers: boolean;

  constructor(failAt: number, delivers: boolean) {
    this.#failAt = failAt;
    this.#delivers = delivers;
  }

  channel(status: number, data1: number, data2: number): void {
    const fails = ++this.sent === this.#failAt;
    if (!fails || this.#delivers) this.synth.channel(status, data1, data2);
    if (fails) throw new Error('the port is gone');
  }

  system(bytes: Uint8Array): void {
    const fails = ++this.sent === this.#failAt;
    if (!fails || this.#delivers) this.synth.system(bytes);
    if (fails) throw new Error('the port is gone');
  }
}

/** Two parts, a pedal, a wheel, a glide, more notes than channels, one key twice. */
const SCORE: readonly ((outlet: Outlet) => void)[] = [
  (outlet) => outlet.control(0, 0, 0xc0, 19, 0),
  (outlet) => outlet.control(0, 1, 0xb0, 7, 90),
  (outlet) => outlet.start(0, 1, 0, 60, 90, 6010),
  (outlet) => outlet.start(0, 2, 1, 64, 90, 6420),
  (outlet) => outlet.control(1, 0, 0xb0, 64, 127),
  (outlet) => outlet.start(2, 3, 0, 60, 90, 6030),
  (outlet) => outlet.start(2, 4, 1, 60, 90, 6040),
  (outlet) => outlet.control(3, 0, 0xe0, 0, 96),
  (outlet) => outlet.retune(4, 1, 6050),
  (outlet) => outlet.retune(4, 3, 6150),
  (outlet) => outlet.release(5, 3, 64),
  (outlet) => outlet.release(6, 4, 64),
  (outlet) => outlet.end(6, 4),
  (outlet) => outlet.control(7, 0, 0xb0, 64, 0),
  (outlet) => outlet.end(7, 3),
  (outlet) => outlet.start(8, 5, 0, 67, 90, 6700),
];

const MAKERS: readonly (readonly [string, (sink: MidiSink) => Outlet])[] = [
  ['mpe', (sink) => createMpe({ zone: 'lower', members: 2, rangeSemitones: 48, releaseHoldMs: 300, sink })],
  [
    'multichannel',
    (sink) => createMultichannel({ channels: [0, 1], rangeSemitones: 12, releaseHoldMs: 300, sink }),
  ],
  ['mts', (sink) => createMts({ device: 0x7f, program: 0, channelOf: () => 0, sink })],
];

/**
 * Plays the score over a sink that fails, going on after the failure or not; then drains, opens again and plays a note.
 * Returns how many messages were sent before that.
 */
function survive(
  make: (sink: MidiSink) => Outlet,
  failAt: number,
  delivers: boolean,
  goesOn: boolean,
): number {
  const sink = new FailingSink(failAt, delivers);
  const outlet = make(sink);
  let failed = false;
  for (const act of [(o: Outlet) => o.open(), ...SCORE]) {
    try {
      if (!failed || goesOn) act(outlet);
    } catch {
      failed = true;
    }
  }
  try {
    outlet.drain(9);
  } catch {
    outlet.drain(9);
  }
  const { sent, synth } = sink;
  expect([failAt, synth.voices, synth.controllerOf(1, 64)]).toEqual([failAt, [], 0]);
  // Each by its own note-off, not by All Sound Off alone, which not every receiver knows.
  expect(synth.noteOffs).toBeGreaterThanOrEqual(synth.noteOns);
  outlet.open();
  outlet.control(10, 0, 0xe0, 0, 64);
  outlet.start(10, 9, 0, 62, 90, 6222);
  expect(Math.abs(synth.voices[0].startCents - 6222)).toBeLessThan(0.5);
  return sent;
}

describe.each(MAKERS)('an outlet (%s) over a sink that throws', (_kind, make) => {
  test.each([
    [true, true],
    [true, false],
    [false, true],
    [false, false],
  ])(
    'is silent after a drain, whichever message failed (delivered: %s, going on: %s)',
    (delivers, goesOn) => {
      const total = survive(make, -1, false, true);
      expect(total).toBeGreaterThan(30);
      for (let failAt = 1; failAt <= total; failAt++) survive(make, failAt, delivers, goesOn);
    },
  );
});
