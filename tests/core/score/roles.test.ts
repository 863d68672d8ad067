import { expect, test } from 'vitest';
import { isSameRole, toDefaultRole } from '../../../src/core/score/roles.js';

test('percussion alone is untuned where nothing else is asked for', () => {
  const roles = Array.from({ length: 16 }, (_, channel) => toDefaultRole(3, channel).role);
  expect(roles.flatMap((role, channel) => (role === 'tuned' ? [] : [`${channel} ${role}`]))).toEqual([
    '9 untuned',
  ]);
});

test('roles are the same if they agree, and fixed ones if they have the same pitches too', () => {
  const [one, other] = [[0], [0]];
  expect(isSameRole({ role: 'guide' }, { role: 'guide' })).toBe(true);
  expect(isSameRole({ role: 'guide' }, { role: 'tuned' })).toBe(false);
  expect(isSameRole({ role: 'fixed', fixedCents: one }, { role: 'fixed', fixedCents: one })).toBe(true);
  expect(isSameRole({ role: 'fixed', fixedCents: one }, { role: 'fixed', fixedCents: other })).toBe(false);
});
