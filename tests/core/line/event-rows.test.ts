import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decodeEvent, encodeEvent, ROW_LENGTH, type RowEvent } from '../../../src/core/line/index.js';
import { forAll } from '../../support/properties.js';

const atMs = fc.double({ min: 0, max: 1e9, noNaN: true });
const part = fc.nat(65_535);
const seven = fc.nat(127);
const finger = fc.nat(15);
const event: fc.Arbitrary<RowEvent> = fc.oneof(
  fc.record({
    kind: fc.constantFrom('note-on', 'note-off'),
    atMs,
    part,
    key: seven,
    velocity: seven,
    finger,
  }),
  fc.record({
    kind: fc.constant('note-on'),
    atMs,
    part,
    key: seven,
    velocity: seven,
    finger,
    fixedCents: fc.integer({ min: -100, max: 12_800 }),
  }),
  fc.record({
    kind: fc.constant('pedal'),
    atMs,
    part,
    pedal: fc.constantFrom('sustain', 'sostenuto', 'hold2'),
    down: fc.boolean(),
  }),
  fc.record({ kind: fc.constant('keys-up'), atMs, part, finger }),
  fc.record({ kind: fc.constant('silence'), atMs, part }),
  fc.record({ kind: fc.constantFrom('time', 'restart'), atMs }),
  fc.record({ kind: fc.constant('home'), atMs, when: fc.constantFrom('now', 'next') }),
  fc.record({ kind: fc.constant('hold-drift'), atMs, on: fc.boolean() }),
);

test('property: every tuner event comes back from its row as it was, wherever the row begins', () => {
  forAll([fc.array(event, { minLength: 1, maxLength: 20 })], 300, (events) => {
    const rows = new Float64Array(events.length * ROW_LENGTH);
    for (const [i, one] of events.entries()) encodeEvent(one, rows, i * ROW_LENGTH);
    expect(events.map((_, i) => decodeEvent(rows, i * ROW_LENGTH))).toEqual(events);
  });
});

test('the row of a note-on has its code, its time, part and finger in one number, and key and velocity in one', () => {
  const rows = new Float64Array(ROW_LENGTH);
  encodeEvent({ kind: 'note-on', atMs: 20, part: 3, key: 60, velocity: 80, finger: 1 }, rows, 0);
  // 3 · 16 + 1, and 60 · 128 + 80
  expect([...rows]).toEqual([1, 20, 49, 7760, NaN]);
});

test('the row of a note-off without a velocity and a finger has 64 and no finger', () => {
  const rows = new Float64Array(ROW_LENGTH);
  encodeEvent({ kind: 'note-off', atMs: 0, part: 0, key: 60 }, rows, 0);
  expect(decodeEvent(rows, 0)).toMatchObject({ velocity: 64, finger: 0 });
});

test.each([-1, 10, 0.5, Number.NaN])('a row that begins with %j is refused as no event', (code) => {
  expect(decodeEvent(Float64Array.of(code, 0, 0, 0), 0)).toBeUndefined();
});
