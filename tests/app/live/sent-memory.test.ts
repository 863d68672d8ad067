import { expect, test } from 'vitest';
import { toMessageNumber, toSystemNumber } from '../../../src/app/live/message-number.js';
import { Incoming, SentMemory } from '../../../src/app/live/sent-memory.js';

function createMemory() {
  const incoming = new Incoming();
  const time = { nowMs: 0 };
  return { incoming, time, sent: new SentMemory(incoming, () => time.nowMs) };
}

const note = toMessageNumber(0x93, 60, 80);
const SYSEX = Uint8Array.of(0xf0, 0x7d, 1, 0xf7);

test('what was sent is found for a second, and nothing else', () => {
  const { sent, time } = createMemory();
  expect(sent.find(note, 0)).toBe(-1);
  time.nowMs = 5000;
  sent.channel(0x93, 60, 80);
  expect(sent.sentMs(sent.find(note, 6000))).toBe(5000);
  expect(sent.find(note, 6000.1)).toBe(-1);
  for (const other of [toMessageNumber(0x93, 60, 81), toMessageNumber(0x83, 60, 80)])
    expect(sent.find(other, 5000)).toBe(-1);
  sent.system(SYSEX);
  expect(sent.find(toSystemNumber(SYSEX), 5000)).toBeGreaterThan(-1);
  expect(sent.find(toSystemNumber(Uint8Array.of(0xf0, 0x7d, 2, 0xf7)), 5000)).toBe(-1);
});

test('of a thousand messages hardly any is forgotten before its second is over', () => {
  const { sent, time } = createMemory();
  const messages: [number, number, number][] = [];
  for (let n = 0; n < 1000; n++)
    messages.push([0x80 + ((n * 7) % 0x70), (n * 11) % 128, (n * 13 + (n >> 7)) % 128]);
  for (const message of messages) {
    time.nowMs++;
    sent.channel(...message);
  }
  const lost = messages.filter((message) => sent.find(toMessageNumber(...message), 1000) < 0);
  expect(lost.length).toBeLessThan(5);
});

test('where there is no room the oldest is forgotten', () => {
  const { sent, time } = createMemory();
  for (let n = 0; n < 100_000; n++) {
    time.nowMs = n / 1000;
    sent.channel(0xe0 | (n & 15), (n >> 4) & 127, n >> 11);
  }
  const isThere = (n: number) =>
    sent.find(toMessageNumber(0xe0 | (n & 15), (n >> 4) & 127, n >> 11), time.nowMs) >= 0;
  expect(isThere(0)).toBe(false);
  expect(isThere(99_999)).toBe(true);
});

test('what is sent because of a message has come round as often as that', () => {
  const { sent, incoming } = createMemory();
  incoming.rounds = 3;
  sent.channel(0x93, 60, 80);
  incoming.end();
  sent.channel(0x93, 61, 80);
  expect(sent.rounds(sent.find(note, 0))).toBe(3);
  expect(sent.rounds(sent.find(toMessageNumber(0x93, 61, 80), 0))).toBe(0);
});

test('the bend of a note-on is ours where no wheel stood at it', () => {
  const { sent, incoming } = createMemory();
  const bendOf = () => sent.bend(sent.find(note, 0));
  sent.channel(0x93, 60, 80);
  expect(bendOf()).toBe(8192);
  sent.channel(0xe3, 0x4f, 0x3b);
  sent.channel(0x93, 60, 80);
  expect(bendOf()).toBe(7631);
  incoming.bends[3] = 7631;
  expect(bendOf()).toBe(7631);
  sent.channel(0xe3, 0x4f, 0x3b);
  sent.channel(0x93, 60, 80);
  expect(bendOf()).toBe(8192);
});

test('a system message is ours unless it is passed on, and stays ours as it goes round', () => {
  const { sent, incoming } = createMemory();
  const isOurs = () => {
    sent.system(SYSEX);
    return sent.isOurs(sent.find(toSystemNumber(SYSEX), 0));
  };
  expect(isOurs()).toBe(true);
  incoming.message = toSystemNumber(SYSEX);
  expect(isOurs()).toBe(false);
  incoming.isOurs = true;
  expect(isOurs()).toBe(true);
  incoming.end();
  incoming.message = note;
  expect(isOurs()).toBe(true);
});

test('a bend that a finger plays on another channel is not ours', () => {
  const { sent, incoming } = createMemory();
  incoming.bends[5] = 9000;
  incoming.message = toMessageNumber(0x95, 60, 80);
  sent.channel(0xe3, 9000 & 127, 9000 >> 7);
  sent.channel(0x93, 60, 80);
  expect(sent.bend(sent.find(note, 0))).toBe(8192);
  incoming.message = toMessageNumber(0x96, 60, 80);
  sent.channel(0xe3, 9000 & 127, 9000 >> 7);
  sent.channel(0x93, 60, 80);
  expect(sent.bend(sent.find(note, 0))).toBe(9000);
});
