import { expect, test } from 'vitest';
import { NoteRouting } from '../../../src/core/monitor/index.js';

const UNKNOWN = { channel: null, bend: null };

test('a note has the channel it was sent on, and the bend of that channel', () => {
  const routing = new NoteRouting();
  routing.begin(7);
  expect(routing.of(7)).toEqual(UNKNOWN);
  routing.noteSent(2);
  expect(routing.of(7)).toEqual({ channel: 2, bend: 8192 });
  routing.bendSent(2, 7631);
  routing.bendSent(3, 1);
  expect(routing.of(7)).toEqual({ channel: 2, bend: 7631 });
  routing.end(7);
  expect(routing.of(7)).toEqual(UNKNOWN);
});

test('a message sent at a later event is not assigned to the note that began before', () => {
  const routing = new NoteRouting();
  routing.begin(7);
  routing.noteSent(2);
  routing.endEvent();
  routing.noteSent(5);
  expect(routing.of(7).channel).toBe(2);
});

test('a snapshot of a note routing goes on separately from the original', () => {
  const routing = new NoteRouting();
  routing.begin(7);
  routing.noteSent(2);
  routing.bendSent(2, 7631);
  const next = new NoteRouting(structuredClone(routing.toSnapshot()));
  expect(next.of(7)).toEqual({ channel: 2, bend: 7631 });
  next.clear();
  expect(next.of(7)).toEqual(UNKNOWN);
  expect(routing.of(7)).not.toEqual(UNKNOWN);
});
