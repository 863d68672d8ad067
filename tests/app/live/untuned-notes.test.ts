import { expect, test } from 'vitest';
import { UntunedNotes } from '../../../src/app/live/untuned-notes.js';

type Message = [status: number, data1: number, data2: number];

/** What is said at the end of so many messages. */
function letGo(messages: readonly Message[]): number[][] {
  const passed = new UntunedNotes();
  for (const message of messages) passed.track(...message);
  const sent: number[][] = [];
  passed.release((status, data1, data2) => sent.push([status, data1, data2]));
  const again: number[][] = [];
  passed.release((status, data1, data2) => again.push([status, data1, data2]));
  expect(again).toEqual([]);
  return sent;
}

test.each<[string, Message[], number[][]]>([
  ['nothing', [], []],
  ['a key that is down', [[0x99, 36, 80]], [[0x89, 36, 64]]],
  ['a key that is up again', [[0x99, 36, 80], [0x89, 36, 0]], []], // biome-ignore format: a row
  ['a key that is up by velocity 0', [[0x99, 36, 80], [0x99, 36, 0]], []], // biome-ignore format: a row
  ['a key struck twice: a note-off for each', [[0x9f, 0, 1], [0x9f, 0, 1]], [[0x8f, 0, 64], [0x8f, 0, 64]]], // biome-ignore format: a row
  ['a key struck twice and let go once', [[0x90, 127, 1], [0x90, 127, 1], [0x80, 127, 1]], [[0x80, 127, 64]]], // biome-ignore format: a row
  ['a pedal that holds a key already up', [[0xb1, 64, 127], [0x91, 60, 1], [0x81, 60, 1]], [[0xb1, 64, 0]]], // biome-ignore format: a row
  ['all three pedals', [[0xb0, 69, 64], [0xb0, 66, 64], [0xb0, 64, 64]], [[0xb0, 64, 0], [0xb0, 66, 0], [0xb0, 69, 0]]], // biome-ignore format: a row
  ['a pedal that is up again', [[0xb0, 66, 64], [0xb0, 66, 63]], []], // biome-ignore format: a row
  ['a pedal that a reset let go', [[0xb0, 66, 64], [0xb0, 121, 0]], []], // biome-ignore format: a row
  ['no other controller, no bend', [[0xb0, 67, 127], [0xb0, 1, 127], [0xe0, 0, 0], [0xc0, 5, 0]], []], // biome-ignore format: a row
])('untuned notes release what is down: %s', (_what, messages, expected) =>
  expect(letGo(messages)).toEqual(expected),
);

test('untuned notes silence every channel on which a key was ever pressed, whatever became of it', () => {
  const passed = new UntunedNotes();
  for (const message of [[0x99, 36, 80], [0x89, 36, 64], [0xb2, 64, 127], [0xb2, 64, 0], [0xb3, 7, 100]] as Message[]) // biome-ignore format: a row
    passed.track(...message);
  const sent: number[][] = [];
  passed.silence((status, data1, data2) => sent.push([status, data1, data2]));
  const ends = (status: number) => [64, 66, 69, 123, 120].map((controller) => [status, controller, 0]);
  expect(sent).toEqual([...ends(0xb2), ...ends(0xb9)]);
});
