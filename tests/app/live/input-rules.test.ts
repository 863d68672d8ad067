import { describe, expect, test } from 'vitest';
import { ActionRules, RateFuse } from '../../../src/app/live/input-rules.js';
import type { ActionRule, Trigger } from '../../../src/app/live/live-settings.js';

function rule(on: Partial<Trigger>, action: ActionRule['action'] = 'home-now'): ActionRule {
  const whole = { kind: 'controller' as const, number: 67, channel: undefined, input: undefined, ...on };
  return { on: whole, action, strategy: undefined };
}

describe('the rules of an input', () => {
  test('a pedal asks once when it goes down, and again after it came up', () => {
    const actions = new ActionRules([rule({})]);
    const asked = [0, 40, 64, 100, 127, 30, 127].map(
      (value) => actions.find('Keys', 0xb0, 67, value).rule !== undefined,
    );
    expect(asked).toEqual([false, false, true, false, false, false, true]);
    expect(actions.find('Keys', 0xb0, 67, 0)).toEqual({ isTaken: true, rule: undefined });
  });

  test('a latching switch asks at each press, not while it is moved, and at its first message', () => {
    const actions = new ActionRules([rule({ switch: 'latching' })]);
    const asked = [127, 127, 64, 63, 0, 100, 20].map(
      (value) => actions.find('Keys', 0xb0, 67, value).rule?.action,
    );
    const ask = 'home-now';
    expect(asked).toEqual([ask, undefined, undefined, ask, undefined, ask, ask]);
    expect(new ActionRules([rule({ switch: 'latching' })]).find('Keys', 0xb0, 67, 0).rule?.action).toBe(ask);
    expect(actions.find('Keys', 0xb0, 67, 0)).toEqual({ isTaken: true, rule: undefined });
  });

  test.each(['bypass', 'hold-drift'] as const)(
    'a latching switch for %s has it on while it is down',
    (action) => {
      const actions = new ActionRules([rule({ switch: 'latching' }, action)]);
      const asked = [127, 0, 90].map((value) => actions.find('Keys', 0xb0, 67, value).rule?.action);
      expect(asked).toEqual([`${action}-on`, `${action}-off`, `${action}-on`]);
    },
  );

  test('a key asks when it goes down; its note-off is taken too', () => {
    const actions = new ActionRules([rule({ kind: 'note', number: 21 })]);
    expect(actions.find('Keys', 0x90, 21, 80).rule).toBeDefined();
    for (const [status, velocity] of [
      [0x90, 0],
      [0x80, 64],
    ]) {
      expect(actions.find('Keys', status, 21, velocity)).toEqual({ isTaken: true, rule: undefined });
    }
  });

  test('a program change asks each time', () => {
    const actions = new ActionRules([rule({ kind: 'program', number: 5 })]);
    for (let i = 0; i < 2; i++) expect(actions.find('Keys', 0xc0, 5, 0).rule).toBeDefined();
  });

  test.each<[string, string, number, number]>([
    ['another input', 'Other', 0xb3, 67],
    ['another channel', 'Pedals', 0xb4, 67],
    ['another controller', 'Pedals', 0xb3, 66],
    ['another kind of message', 'Pedals', 0xc3, 67],
  ])('a message of %s asks for nothing', (_, input, status, number) => {
    const actions = new ActionRules([rule({ channel: 3, input: 'Pedals' })]);
    expect(actions.find(input, status, number, 127)).toEqual({ isTaken: false, rule: undefined });
    expect(actions.find('Pedals', 0xb3, 67, 127).rule).toBeDefined();
  });
});

describe('the rate fuse', () => {
  test('lets through as many messages a second as it is set to, and opens at the next', () => {
    const fuse = new RateFuse(100);
    for (let i = 0; i < 100; i++) expect(fuse.take(5000 + i * 9)).toBe(true);
    expect(fuse.take(5900)).toBe(false);
    expect(fuse.isOpen).toBe(true);
    expect(fuse.take(60_000)).toBe(false);
  });

  test('lets through a steady rate of messages for ever', () => {
    const fuse = new RateFuse(100);
    for (let i = 0; i < 5000; i++) if (!fuse.take(i * 11)) expect(i).toBe('opened');
    expect(fuse.isOpen).toBe(false);
  });

  test('counts from zero after it is closed', () => {
    const fuse = new RateFuse(3);
    for (let i = 0; i < 4; i++) fuse.take(0);
    fuse.close();
    expect([1, 2, 3, 4].map(() => fuse.take(1))).toEqual([true, true, true, false]);
  });

  test('counts from zero when the clock goes back', () => {
    const fuse = new RateFuse(3);
    for (let i = 0; i < 3; i++) fuse.take(9000);
    expect(fuse.take(100)).toBe(true);
  });
});
