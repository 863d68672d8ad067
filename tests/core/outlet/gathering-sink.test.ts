import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { GatheringSink } from '../../../src/core/outlet/index.js';
import { ListSink } from '../../support/midi-bytes.js';
import { forAll } from '../../support/properties.js';

function gather(waitMs = 10) {
  const wire = new ListSink();
  const clock = { nowMs: 0 };
  return { wire, clock, gathering: new GatheringSink(wire, waitMs, () => clock.nowMs) };
}

/** A single-note tuning change in real time, MIDI Tuning Updated Specification. */
const tune = (key: number, fine: number, program = 0) => [
  ...[0xf0, 0x7f, 0x7f, 8, 2, program, 1, key],
  ...[key, fine, 0, 0xf7],
];

describe('a chord that gathers', () => {
  test('lets everything wait for the same time, and keeps its order', () => {
    const { wire, clock, gathering } = gather();
    gathering.channel(0x90, 60, 80);
    gathering.system(Uint8Array.of(0xf8));
    clock.nowMs = 4;
    gathering.channel(0xb0, 64, 127);
    gathering.flush(9.9);
    expect(wire.messages).toEqual([]);
    gathering.flush(10);
    expect([wire.messages, gathering.isWaiting]).toEqual([[[0x90, 60, 80], [0xf8]], true]);
    gathering.flush(14);
    expect([wire.messages.length, gathering.isWaiting]).toEqual([3, false]);
  });

  test('sends the last bend that was decided for a note before it', () => {
    const { wire, clock, gathering } = gather();
    gathering.channel(0xe1, 0, 66);
    gathering.channel(0x91, 60, 80);
    clock.nowMs = 5;
    gathering.channel(0xe1, 0, 67);
    gathering.channel(0xe2, 0, 70);
    gathering.channel(0x92, 64, 80);
    gathering.flush(10);
    expect(wire.messages).toEqual([
      [0xe1, 0, 67],
      [0x91, 60, 80],
    ]);
  });

  test('sends a bend before the note that needed none until then', () => {
    const { wire, clock, gathering } = gather();
    gathering.channel(0x91, 60, 80);
    gathering.channel(0xb1, 1, 5);
    clock.nowMs = 6;
    gathering.channel(0xe1, 0, 67);
    // With the note, which waits no longer for it.
    gathering.flush(10);
    expect(wire.messages).toEqual([
      [0xe1, 0, 67],
      [0x91, 60, 80],
      [0xb1, 1, 5],
    ]);
  });

  test('leaves a bend behind a note that has ended', () => {
    const { wire, gathering } = gather();
    gathering.channel(0x91, 60, 80);
    gathering.channel(0x81, 60, 64);
    gathering.channel(0xe1, 0, 67);
    gathering.flush(10);
    expect(wire.messages.map(([status]) => status)).toEqual([0x91, 0x81, 0xe1]);
  });

  test('sends the tuning of a key before its note, in the place of an earlier one of the same program', () => {
    const { wire, gathering } = gather();
    gathering.system(Uint8Array.from(tune(60, 1)));
    gathering.system(Uint8Array.from(tune(60, 1, 5)));
    gathering.channel(0x90, 60, 80);
    gathering.system(Uint8Array.from(tune(60, 2)));
    gathering.system(Uint8Array.from(tune(61, 3)));
    gathering.flush(10);
    expect(wire.messages).toEqual([tune(60, 2), tune(60, 1, 5), [0x90, 60, 80], tune(61, 3)]);
  });

  test('sends what was there when it came, whatever becomes of the bytes', () => {
    const { wire, gathering } = gather();
    const bytes = Uint8Array.of(0xf0, 1, 0xf7);
    gathering.system(bytes);
    bytes[1] = 2;
    gathering.flush(10);
    expect(wire.messages).toEqual([[0xf0, 1, 0xf7]]);
  });

  test('that is to be silent never starts, and all else is sent at once', () => {
    const { wire, gathering } = gather();
    gathering.channel(0x80, 59, 64);
    gathering.channel(0x90, 60, 80);
    gathering.channel(0xc0, 5, 0);
    gathering.channel(0x80, 60, 64);
    gathering.channel(0x80, 60, 64);
    gathering.finish();
    expect(wire.messages).toEqual([
      [0x80, 59, 64],
      [0xc0, 5],
      [0x80, 60, 64],
    ]);
    expect(gathering.isWaiting).toBe(false);
  });

  test('sends the oldest early when more waits than any hands play', () => {
    const { wire, gathering } = gather();
    for (let i = 0; i < 5000; i++) gathering.channel(0xb0, i % 120, 1);
    expect(wire.messages).toHaveLength(5000 - 4096);
  });
});

const message = fc.record({
  ms: fc.integer({ min: 0, max: 4 }),
  channel: fc.integer({ min: 0, max: 3 }),
  what: fc.constantFrom(0x90, 0x80, 0xe0, 0xb0),
  value: fc.integer({ min: 0, max: 127 }),
});

test('whatever is played, all but bends comes out once and in order, and each note with its last bend', () => {
  forAll([fc.array(message, { maxLength: 60 })], (messages) => {
    const { wire, clock, gathering } = gather();
    const down = new Set<number>();
    const others: string[] = [];
    // What each note is to begin with: the last bend within its wait, if it is still down.
    const starts: { channel: number; atMs: number; bend: number }[] = [];
    const bends = [0, 0, 0, 0];
    for (const { ms, channel, what, value } of messages) {
      clock.nowMs += ms;
      gathering.flush(clock.nowMs);
      // One note on a channel, as where each has its own.
      if (what === 0x90 && down.has(channel)) continue;
      if (what === 0x80 && !down.has(channel)) continue;
      gathering.channel(what | channel, what === 0xe0 ? 0 : 60, what === 0x80 ? 64 : value || 1);
      if (what === 0xe0) {
        bends[channel] = value || 1;
        const note = starts.findLast((one) => one.channel === channel);
        if (down.has(channel) && note !== undefined && clock.nowMs < note.atMs + 10)
          note.bend = bends[channel];
        continue;
      }
      others.push(`${what} ${channel}`);
      if (what === 0x90) {
        down.add(channel);
        starts.push({ channel, atMs: clock.nowMs, bend: bends[channel] });
      } else if (what === 0x80) down.delete(channel);
    }
    gathering.flush(Infinity);
    expect(
      wire.messages
        .filter(([status]) => status < 0xe0)
        .map(([status]) => `${status & 0xf0} ${status & 0x0f}`),
    ).toEqual(others);
    const now = [0, 0, 0, 0];
    const begun: number[] = [];
    for (const [status, , value] of wire.messages) {
      if ((status & 0xf0) === 0xe0) now[status & 0x0f] = value;
      else if ((status & 0xf0) === 0x90) begun.push(now[status & 0x0f]);
    }
    expect(begun).toEqual(starts.map(({ bend }) => bend));
    expect(now).toEqual(bends);
  });
});
