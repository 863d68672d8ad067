import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { MidiSink } from '../../../src/core/midi/index.js';
import { PacedSink } from '../../../src/core/outlet/index.js';
import { messages } from '../../support/midi-bytes.js';
import { forAll } from '../../support/properties.js';

/** Everything that came out, as bytes. */
class Wire implements MidiSink {
  readonly sent: number[][] = [];

  channel(status: number, data1: number, data2: number): void {
    this.sent.push([status, data1, data2]);
  }

  system(bytes: Uint8Array): void {
    this.sent.push([...bytes]);
  }
}

function pace(): { wire: Wire; paced: PacedSink } {
  const wire = new Wire();
  return { wire, paced: new PacedSink(wire) };
}

describe('a paced sink on a slow cable', () => {
  test('sends a bend at once while the cable is free', () => {
    const { wire, paced } = pace();
    paced.channel(0xe3, 1, 65);
    paced.flush(0);
    expect(wire.sent).toEqual([[0xe3, 1, 65]]);
    expect(paced.isWaiting).toBe(false);
  });

  test('sends a chord struck during a glide before the bends', () => {
    const { wire, paced } = pace();
    for (let channel = 0; channel < 10; channel++) paced.channel(0xe0 | channel, 0, 66);
    paced.channel(0xea, 0, 70);
    paced.channel(0x9a, 60, 80);
    paced.channel(0xeb, 0, 71);
    paced.channel(0x9b, 64, 80);
    expect(wire.sent).toEqual(messages('0xea 0 70, 0x9a 60 80, 0xeb 0 71, 0x9b 64 80'));
    // Twelve bytes are on the cable: 3.84 ms. Then the bends, one after another.
    for (let atMs = 0; atMs < 2; atMs++) paced.flush(atMs);
    expect(wire.sent).toHaveLength(4);
    for (let atMs = 2; atMs <= 14; atMs++) paced.flush(atMs);
    expect(wire.sent).toHaveLength(14);
  });

  test('sends the end of a glide, and as many steps to it as the cable has room for', () => {
    const { wire, paced } = pace();
    for (let channel = 0; channel < 15; channel++) paced.channel(0x90 | channel, 60, 80);
    for (let step = 0; step <= 60; step++) {
      for (let channel = 0; channel < 15; channel++) paced.channel(0xe0 | channel, step, 64);
      paced.flush(10 * step);
    }
    for (let atMs = 601; paced.isWaiting; atMs++) paced.flush(atMs);
    const bends = wire.sent.filter(([status]) => (status & 0xf0) === 0xe0);
    for (let channel = 0; channel < 15; channel++) {
      expect(bends.filter(([status]) => (status & 15) === channel).at(-1)).toEqual([0xe0 | channel, 60, 64]);
    }
    expect(bends.length + paced.superseded).toBe(61 * 15);
    expect(paced.superseded).toBeGreaterThan(100);
  });

  test('sends a bend before its note-on, the latest of each channel at the end, and all else in order', () => {
    const message = fc.tuple(
      fc.constantFrom(0x80, 0x90, 0xb0, 0xe0),
      fc.nat(3),
      fc.nat(127),
      fc.integer({ min: 1, max: 127 }),
    );
    forAll([fc.array(fc.tuple(message, fc.nat(4)))], (played) => {
      const { wire, paced } = pace();
      const bend = new Map<number, string>();
      const heard = new Map<number, string>();
      let seen = 0;
      let atMs = 0;
      const hear = (): void => {
        for (; seen < wire.sent.length; seen++) {
          const [status, data1, data2] = wire.sent[seen];
          const channel = status & 15;
          if ((status & 0xf0) === 0xe0) heard.set(channel, `${data1} ${data2}`);
          if ((status & 0xf0) === 0x90) expect(heard.get(channel)).toBe(bend.get(channel));
        }
      };
      for (const [[type, channel, data1, data2], wait] of played) {
        if (type === 0xe0) bend.set(channel, `${data1} ${data2}`);
        paced.channel(type | channel, data1, data2);
        hear();
        atMs += wait;
        paced.flush(atMs);
        hear();
      }
      paced.finish();
      hear();
      expect(heard).toEqual(bend);
      const others = ([status]: number[]): boolean => (status & 0xf0) !== 0xe0;
      const expected = played.map(([[type, channel, ...data]]) => [type | channel, ...data]).filter(others);
      expect(wire.sent.filter(others)).toEqual(expected);
    });
  });

  test('delays the tuning of a key, never past its note-on, and sends the latest', () => {
    const { wire, paced } = pace();
    const tune = (key: number, low: number) => [0xf0, 0x7f, 0x7f, 8, 2, 0, 1, key, key, 0, low, 0xf7];
    for (let step = 0; step < 5; step++) {
      for (const key of [60, 64, 67]) paced.system(Uint8Array.from(tune(key, step)));
    }
    expect(wire.sent).toEqual([]);
    expect(paced.superseded).toBe(12);
    paced.channel(0x90, 64, 80);
    expect(wire.sent).toEqual([tune(64, 4), [0x90, 64, 80]]);
    for (let atMs = 0; paced.isWaiting; atMs++) paced.flush(atMs);
    expect(wire.sent.slice(2)).toEqual([tune(60, 4), tune(67, 4)]);
  });

  test('passes other system messages at once', () => {
    const { wire, paced } = pace();
    paced.system(Uint8Array.of(0xf8));
    expect(wire.sent).toEqual([[0xf8]]);
  });
});

test('a paced sink does not replace a waiting tuning by one of another program or device', () => {
  const { wire, paced } = pace();
  const tune = (device: number, program: number, cents: number) =>
    Uint8Array.of(0xf0, 0x7f, device, 8, 2, program, 1, 60, 60, cents, 0, 0xf7);
  for (const bytes of [tune(1, 0, 1), tune(1, 0, 2), tune(1, 1, 3), tune(2, 1, 4)]) paced.system(bytes);
  paced.finish();
  expect(wire.sent.map((bytes) => bytes[9])).toEqual([2, 3, 4]);
  expect(paced.superseded).toBe(1);
});

test('a paced sink counts two bytes for a program change and three for a controller', () => {
  /** When a bend goes out that came after thirty such messages, in milliseconds. */
  const waitsAfter = (status: number): number => {
    const { wire, paced } = pace();
    for (let i = 0; i < 30; i++) paced.channel(status, 7, i);
    paced.channel(0xe3, 1, 65);
    for (let atMs = 0; ; atMs += 0.1) {
      paced.flush(atMs);
      if (wire.sent.length > 30) return atMs;
    }
  };
  // 3 125 bytes a second: a third of 90 bytes is 9.6 ms.
  expect(waitsAfter(0xb0) - waitsAfter(0xc0)).toBeCloseTo(9.6, 0);
});
