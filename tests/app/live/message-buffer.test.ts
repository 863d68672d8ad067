import { describe, expect, test } from 'vitest';
import { MessageBuffer } from '../../../src/app/live/message-buffer.js';

describe('a message buffer', () => {
  test('gives each message once, with its time in ticks', () => {
    const buffer = new MessageBuffer();
    buffer.channel(12.52, 0x90, 60, 80);
    buffer.channel(13, 0xc3, 7, 0);
    buffer.message(13.01, Uint8Array.of(0x80, 60, 64));
    buffer.message(14, Uint8Array.of(0xd0, 5));
    expect(buffer.empty(20)).toEqual([
      { kind: 'channel', tick: 250, status: 0x90, data1: 60, data2: 80 },
      { kind: 'channel', tick: 260, status: 0xc3, data1: 7, data2: 0 },
      { kind: 'channel', tick: 260, status: 0x80, data1: 60, data2: 64 },
      { kind: 'channel', tick: 280, status: 0xd0, data1: 5, data2: 0 },
    ]);
    expect(buffer.empty(20)).toEqual([]);
  });

  test('stores SysEx without its F0, and escapes clock and other system messages', () => {
    const buffer = new MessageBuffer();
    buffer.message(0, Uint8Array.of(0xf0, 0x7d, 1, 0xf7));
    buffer.message(1, Uint8Array.of(0xf8));
    buffer.message(2, Uint8Array.of(0xf2, 1, 2));
    expect(buffer.empty(1)).toEqual([
      { kind: 'sysex', tick: 0, lead: 0xf0, data: Uint8Array.of(0x7d, 1, 0xf7) },
      { kind: 'sysex', tick: 1, lead: 0xf7, data: Uint8Array.of(0xf8) },
      { kind: 'sysex', tick: 2, lead: 0xf7, data: Uint8Array.of(0xf2, 1, 2) },
    ]);
  });

  test('copies the bytes it is given', () => {
    const buffer = new MessageBuffer();
    const bytes = Uint8Array.of(0x90, 60, 80);
    buffer.message(0, bytes);
    bytes[1] = 61;
    expect(buffer.empty(1)).toMatchObject([{ data1: 60 }]);
  });

  test('never gives ticks that go back, from one emptying to the next either', () => {
    const buffer = new MessageBuffer();
    buffer.channel(5, 0x90, 60, 80);
    buffer.channel(3, 0x90, 61, 80);
    expect(buffer.empty(1).map(({ tick }) => tick)).toEqual([5, 5]);
    buffer.channel(4, 0x90, 62, 80);
    expect(buffer.empty(1).map(({ tick }) => tick)).toEqual([5]);
  });
});

describe('the room of a message buffer', () => {
  test('grows as needed, and everything stays in order', () => {
    const buffer = new MessageBuffer();
    for (let i = 0; i < 65_536; i++) buffer.channel(i, 0x90, i & 0x7f, 1 + (i % 127));
    const events = buffer.empty(1);
    expect(events).toHaveLength(65_536);
    expect(events.every((event, i) => event.kind === 'channel' && event.data1 === (i & 0x7f))).toBe(true);
    expect(buffer.dropped).toBe(0);
  });

  test('has an end: further messages are dropped and counted until it is emptied', () => {
    const buffer = new MessageBuffer();
    for (let i = 0; i < 65_536 + 10; i++) buffer.channel(i, 0x90, 60, 80);
    expect(buffer.dropped).toBe(10);
    expect(buffer.empty(1)).toHaveLength(65_536);
    buffer.channel(70_000, 0x80, 60, 64);
    expect(buffer.empty(1)).toHaveLength(1);
    expect(buffer.dropped).toBe(10);
  });

  test('is too small for a long SysEx, which is dropped whole, and takes a shorter message after it', () => {
    const buffer = new MessageBuffer();
    const long = new Uint8Array(3 * 2 ** 20).fill(1);
    long[0] = 0xf0;
    buffer.message(0, long);
    buffer.message(1, long);
    buffer.channel(2, 0x90, 60, 80);
    const events = buffer.empty(1);
    expect(events.map(({ kind }) => kind)).toEqual(['sysex', 'channel']);
    expect(events[0]).toMatchObject({ data: { length: long.length - 1 } });
    expect(buffer.dropped).toBe(1);
  });
});
