import { describe, expect, test } from 'vitest';
import { UNSET } from '../../../src/core/outlet/channel-state.js';
import { CHANGED, Fingers, keepExpression, NO_EXPRESSION } from '../../../src/core/outlet/fingers.js';

const { bend, pressure, timbre } = CHANGED;

/** RPN 0 with semitones and cents, then no parameter. */
function sendRange(fingers: Fingers, finger: number, semitones: number, cents: number): void {
  for (const [controller, value] of [
    [101, 0],
    [100, 0],
    [6, semitones],
    [38, cents],
    [101, 127],
    [100, 127],
  ])
    fingers.control(0, finger, 0xb0 | finger, controller, value);
}

function configure(fingers: Fingers, part: number, members: number): number {
  fingers.control(part, 0, 0xb0, 101, 0);
  fingers.control(part, 0, 0xb0, 100, 6);
  return fingers.control(part, 0, 0xb0, 6, members);
}

describe('a finger', () => {
  test.each([
    ['a bend', 0xe1, 0, 96, bend, { bendCents: 2400, pressure: UNSET, timbre: UNSET }],
    ['pressure', 0xd1, 70, 0, pressure, { bendCents: 0, pressure: 70, timbre: UNSET }],
    ['poly pressure', 0xa1, 60, 70, pressure, { bendCents: 0, pressure: 70, timbre: UNSET }],
    ['CC 74', 0xb1, 74, 70, timbre, { bendCents: 0, pressure: UNSET, timbre: 70 }],
    ['a pedal', 0xb1, 64, 127, 0, NO_EXPRESSION],
    ['a program', 0xc1, 5, 0, 0, NO_EXPRESSION],
    ['data entry without a parameter', 0xb1, 6, 12, 0, NO_EXPRESSION],
    ['a configuration message on a member channel', 0xb1, 6, 12, 0, NO_EXPRESSION],
  ] as const)(
    'keeps what %s sets, and says what has changed',
    (_, status, data1, data2, changed, expected) => {
      const fingers = new Fingers();
      expect(fingers.control(3, 1, status, data1, data2)).toBe(changed);
      expect(fingers.of(3, 1)).toMatchObject(expected);
      expect(fingers.of(3, 2)).toMatchObject(NO_EXPRESSION);
      expect(fingers.of(2, 1)).toMatchObject(NO_EXPRESSION);
    },
  );

  test('is the same object each time, so that a note follows it', () => {
    const fingers = new Fingers();
    const expression = fingers.of(0, 1);
    fingers.control(0, 1, 0xd1, 5, 0);
    expect(expression.pressure).toBe(5);
  });

  test('has a range that RPN 0 from any finger sets for all, bends that stand included', () => {
    const fingers = new Fingers();
    fingers.control(0, 1, 0xe1, 0, 96);
    sendRange(fingers, 7, 24, 50);
    expect(fingers.of(0, 1).bendCents).toBe(1225);
    fingers.control(0, 2, 0xe2, 0, 0);
    expect(fingers.of(0, 2).bendCents).toBe(-2450);
  });

  test('is reset by Reset All Controllers, its own or the part’s; CC 74 stays', () => {
    const fingers = new Fingers();
    for (const finger of [1, 2]) {
      fingers.control(0, finger, 0xe0 | finger, 0, 96);
      fingers.control(0, finger, 0xd0 | finger, 70, 0);
      fingers.control(0, finger, 0xb0 | finger, 74, 70);
    }
    expect(fingers.control(0, 1, 0xb1, 121, 0)).toBe(bend | pressure);
    expect(fingers.of(0, 1)).toMatchObject({ bendCents: 0, pressure: 0, timbre: 70 });
    expect(fingers.of(0, 2)).toMatchObject({ bendCents: 2400, pressure: 70, timbre: 70 });
    fingers.control(0, 0, 0xb0, 121, 0);
    expect(fingers.of(0, 2)).toMatchObject({ bendCents: 0, pressure: 0, timbre: 70 });
  });
});

test('a configuration message resets the fingers of its part, and their range to 48 semitones', () => {
  const fingers = new Fingers();
  sendRange(fingers, 1, 12, 0);
  for (const part of [0, 1]) fingers.control(part, 1, 0xd1, 70, 0);
  expect(configure(fingers, 0, 7)).toBe(bend | pressure | timbre);
  expect(fingers.of(0, 1)).toMatchObject(NO_EXPRESSION);
  expect(fingers.of(1, 1).pressure).toBe(70);
  fingers.control(0, 1, 0xe1, 0, 0);
  expect(fingers.of(0, 1).bendCents).toBe(-4800);
});

test('a part without fingers changes nothing by what it sends', () => {
  const fingers = new Fingers();
  expect(configure(fingers, 0, 15)).toBe(0);
  expect(fingers.control(0, 0, 0xe0, 0, 96)).toBe(0);
  expect(fingers.of(0, 0)).toBe(NO_EXPRESSION);
});

test('an expression that is kept no longer follows its finger', () => {
  const fingers = new Fingers();
  fingers.control(0, 1, 0xd1, 70, 0);
  const kept = keepExpression(fingers.of(0, 1));
  fingers.forget();
  fingers.control(0, 1, 0xd1, 5, 0);
  expect(kept).toEqual({ bendCents: 0, pressure: 70, timbre: UNSET });
});
