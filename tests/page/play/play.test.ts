import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Play } from '../../../src/core/protocol/index.js';
import { COMPUTER_KEYS, toOffset, toPrint } from '../../../src/page/play/computer-keys.js';
import { Holding } from '../../../src/page/play/holding.js';
import { isNatural, layOutKeys } from '../../../src/page/play/key-layout.js';
import { toPlay } from '../../../src/page/play/midi-input.js';
import { forAll } from '../../support/properties.js';

test('computer keys have no key twice, and a legend of what plays', () => {
  expect(new Set(COMPUTER_KEYS.map((key) => key.code)).size).toBe(COMPUTER_KEYS.length);
  for (const { code, print, offset } of COMPUTER_KEYS) {
    expect(toOffset(code)).toBe(offset);
    expect(toPrint(offset)).toBe(print);
  }
  expect(toOffset('Escape')).toBeUndefined();
  expect(toPrint(99)).toBe('');
});

test('computer keys play consecutive semitones', () => {
  expect(COMPUTER_KEYS.map((key) => key.offset).toSorted((a, b) => a - b)).toEqual(
    COMPUTER_KEYS.map((_, i) => i),
  );
  expect(['KeyZ', 'KeyC', 'KeyB', 'KeyQ'].map(toOffset)).toEqual([0, 4, 7, 12]);
});

test('layOutKeys has two octaves: fifteen naturals side by side, the others across their joints', () => {
  const { keys, width } = layOutKeys(60, 84);
  expect(width).toBe(15);
  expect(keys.filter((key) => key.isNatural).map((key) => key.left)).toEqual(
    Array.from({ length: 15 }, (_, i) => i),
  );
  for (const key of keys.filter((one) => !one.isNatural)) {
    expect(isNatural(key.key)).toBe(false);
    expect(Number.isInteger(key.left + key.width / 2)).toBe(true);
  }
});

describe('Holding', () => {
  test('presses a key held twice once, and releases it with the last', () => {
    const sent: Play[] = [];
    const holding = new Holding((order) => sent.push(order));
    holding.press('mouse', 60, 80);
    holding.press('KeyZ', 60, 80);
    holding.release('mouse');
    expect(sent).toEqual([{ type: 'play', act: 'on', key: 60, velocity: 80 }]);
    holding.release('KeyZ');
    expect(sent.at(-1)).toEqual({ type: 'play', act: 'off', key: 60 });
  });

  test('releases the key that a sliding finger leaves', () => {
    const sent: string[] = [];
    const holding = new Holding((order) => sent.push(`${order.act} ${'key' in order ? order.key : ''}`));
    holding.press('pointer 1', 60, 80);
    holding.press('pointer 1', 62, 80);
    holding.press('pointer 1', 62, 80);
    expect(sent).toEqual(['on 60', 'off 60', 'on 62']);
  });

  test('leaves nothing down after any playing and a release of all, with an off for every on', () => {
    const act = fc.tuple(fc.constantFrom('a', 'b', 'c'), fc.integer({ min: -2, max: 130 }), fc.boolean());
    forAll([fc.array(act)], (acts) => {
      const down = new Set<number>();
      const holding = new Holding((order) => {
        if (order.act === 'on') {
          expect(down.has(order.key)).toBe(false);
          down.add(order.key);
        }
        if (order.act === 'off') expect(down.delete(order.key)).toBe(true);
      });
      for (const [source, key, presses] of acts) {
        if (presses) holding.press(source, key, 80);
        else holding.release(source);
        expect([...down].toSorted()).toEqual([...holding.keys].toSorted());
      }
      holding.releaseAll();
      expect(down.size).toBe(0);
    });
  });
});

test.each<[number[], Play | undefined]>([
  [[0x90, 60, 80], { type: 'play', act: 'on', key: 60, velocity: 80 }],
  [[0x9f, 60, 1], { type: 'play', act: 'on', key: 60, velocity: 1 }],
  [[0x90, 60, 0], { type: 'play', act: 'off', key: 60 }],
  [[0x83, 60, 64], { type: 'play', act: 'off', key: 60 }],
  [[0xb0, 64, 127], { type: 'play', act: 'sustain', down: true }],
  [[0xb0, 64, 63], { type: 'play', act: 'sustain', down: false }],
  [[0xb0, 123, 0], { type: 'play', act: 'all-off' }],
  [[0xb0, 120, 0], { type: 'play', act: 'all-off' }],
  [[0xb0, 121, 0], undefined],
  [[0xb0, 1, 64], undefined],
  [[0xe0, 0, 64], undefined],
  [[0xf8], undefined],
  [[], undefined],
])('MIDI bytes %j on the page play %j', (bytes, order) => expect(toPlay(bytes)).toEqual(order));
