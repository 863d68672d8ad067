import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PageKeys } from '../../../src/app/live/page-keys.js';
import { messages } from '../../support/midi-bytes.js';
import { forAll } from '../../support/properties.js';

function open() {
  const sent: number[][] = [];
  const keys = new PageKeys((bytes) => sent.push([...bytes]));
  return { sent, keys };
}

describe('the keyboards of the page', () => {
  test('each viewer has a separate channel', () => {
    const { sent, keys } = open();
    keys.press(7, 60, 80);
    keys.press(8, 60, 90);
    keys.lift(7, 60);
    expect(sent).toEqual(messages('0x90 60 80, 0x91 60 90, 0x80 60 64'));
  });

  test('when a viewer leaves, the notes it holds end, and no others', () => {
    const { sent, keys } = open();
    keys.press(1, 60, 80);
    keys.sustain(1, true);
    keys.press(2, 64, 80);
    sent.length = 0;
    keys.leave(1);
    expect(sent).toEqual(messages('0x80 60 64, 0xb0 64 0'));
    keys.leave(1);
    expect(sent).toHaveLength(2);
  });

  test('more than sixteen viewers share channels: a key or pedal that two hold is released by the last of them', () => {
    const { sent, keys } = open();
    for (let viewer = 0; viewer < 17; viewer++) keys.press(viewer, 60, 80);
    keys.sustain(0, true);
    keys.sustain(16, true);
    sent.length = 0;
    keys.lift(0, 60);
    keys.sustain(0, false);
    expect(sent).toEqual([]);
    keys.leave(16);
    expect(sent).toEqual(messages('0x80 60 64, 0xb0 64 0'));
  });

  test('a key that is not down gets no note-off', () => {
    const { sent, keys } = open();
    keys.lift(1, 60);
    keys.liftAll(1);
    keys.sustain(1, false);
    expect(sent).toEqual([]);
  });

  test('nothing is left down when all viewers have left, whatever they played', () => {
    const viewer = fc.nat(19);
    const key = fc.integer({ min: 60, max: 63 });
    const act = fc.oneof(
      fc.record({ what: fc.constant('press' as const), viewer, key }),
      fc.record({ what: fc.constant('lift' as const), viewer, key }),
      fc.record({ what: fc.constant('pedal' as const), viewer, key }),
      fc.record({ what: fc.constant('leave' as const), viewer, key }),
    );
    forAll([fc.array(act, { maxLength: 200 })], (acts) => {
      const down = new Set<string>();
      const keys = new PageKeys(([status, data1, data2]) => {
        const place = `${status & 0x0f} ${(status & 0xf0) === 0xb0 ? 'pedal' : data1}`;
        const isOn = (status & 0xf0) === 0x90 || ((status & 0xf0) === 0xb0 && data2 > 0);
        if (isOn) down.add(place);
        else down.delete(place);
      });
      for (const one of acts) {
        if (one.what === 'press') keys.press(one.viewer, one.key, 80);
        else if (one.what === 'lift') keys.lift(one.viewer, one.key);
        else if (one.what === 'pedal') keys.sustain(one.viewer, one.key > 61);
        else keys.leave(one.viewer);
      }
      keys.leaveAll();
      expect([...down]).toEqual([]);
    });
  });
});

test.each([
  ['by the same viewer', 1],
  ['by another one on the same channel', 17],
])('a key struck again %s before it came up has a note-off for each note-on', (_, again) => {
  const { sent, keys } = open();
  // The seventeenth shares the channel of the first.
  for (let viewer = 1; viewer <= 17; viewer++) keys.press(viewer, 30 + viewer, 80);
  sent.length = 0;
  keys.press(1, 60, 80);
  keys.press(again, 60, 90);
  expect(sent).toEqual(messages('0x90 60 80, 0x80 60 64, 0x90 60 90'));
  keys.lift(1, 60);
  keys.lift(again, 60);
  const downs = sent.map(([status]) => (status === 0x90 ? 1 : -1));
  expect(downs.reduce((sum, one) => sum + one, 0)).toBe(0);
});
