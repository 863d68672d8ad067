import { expect, test } from 'vitest';
import { toMessageNumber, toSystemNumber } from '../../../src/app/live/message-number.js';

test('each channel message has a number of its own', () => {
  const numbers = new Set<number>();
  for (let status = 0x80; status < 0xf0; status++)
    for (let data1 = 0; data1 < 128; data1 += 9)
      for (let data2 = 0; data2 < 128; data2 += 9) numbers.add(toMessageNumber(status, data1, data2));
  expect(numbers.size).toBe(0x70 * 15 * 15);
});

test('system messages have other numbers than channel messages, and each its own', () => {
  const numbers = new Set<number>();
  for (let status = 0xf1; status <= 0xff; status++) numbers.add(toSystemNumber(Uint8Array.of(status)));
  for (let a = 0; a < 128; a++)
    for (let b = 0; b < 128; b++) numbers.add(toSystemNumber(Uint8Array.of(0xf0, 0x7d, a, b, 0xf7)));
  for (let length = 0; length < 100; length++)
    numbers.add(toSystemNumber(Uint8Array.of(0xf0, ...new Array<number>(length).fill(0), 0xf7)));
  expect(numbers.size).toBe(15 + 128 * 128 + 100);
  expect(Math.min(...numbers)).toBeGreaterThan(toMessageNumber(0xef, 127, 127));
});
