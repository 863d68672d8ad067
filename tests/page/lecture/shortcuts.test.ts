import { expect, test } from 'vitest';
import { findShortcut, SHORTCUTS } from '../../../src/page/lecture/shortcuts.js';
import { toOffset } from '../../../src/page/play/computer-keys.js';

test('no key that drives the page plays a note as well', () => {
  for (const { code, shift } of SHORTCUTS) if (shift !== true) expect(toOffset(code), code).toBeUndefined();
});

test.each([
  [{ code: 'Space', key: ' ', shiftKey: false }, 'play or pause; the chord sounds on'],
  [{ code: 'Digit2', key: '!', shiftKey: true }, 'hear free'],
  [{ code: 'Minus', key: '?', shiftKey: true }, 'show these keys'],
  [{ code: 'PageDown', key: 'PageDown', shiftKey: false }, 'next step of the story'],
  [{ code: 'Digit2', key: '2', shiftKey: false }, undefined],
  [{ code: 'Slash', key: '/', shiftKey: false }, undefined],
])('the key %o is for: %s', (event, does) => expect(findShortcut(event)?.does).toBe(does));

test('every key is in the list once', () => {
  const keys = SHORTCUTS.map(({ keys: one }) => one);
  expect(new Set(keys).size).toBe(keys.length);
});
