import { expect, test } from 'vitest';
import { Pace } from './pace.js';

// Longer than any collection of the tests' own thread, which is watched as well.
const [LONG, LONGER, LONGEST] = [60_000, 70_000, 80_000];

test('garbage collections during excluded work don’t count; those before and after do', () => {
  const pace = new Pace();
  pace.collect(performance.now(), LONG);
  const { count, longestMs } = pace.read().collections;
  expect(longestMs).toBe(LONG);
  const inside = pace.leaveOut(() => performance.now());
  // They are told of afterwards.
  pace.collect(inside, LONGEST);
  expect(pace.read().collections.longestMs).toBe(LONG);
  pace.collect(performance.now() + 1, LONGER);
  expect(pace.read().collections.longestMs).toBe(LONGER);
  expect(pace.read().collections.count).toBe(count + 1);
});

test('excluded work gives its result', () => expect(new Pace().leaveOut(() => 'done')).toBe('done'));

test('a message that sends nothing has no latency', () => {
  const pace = new Pace();
  const atMs = pace.begin();
  pace.end(atMs, atMs - 1, 'a chord');
  expect(pace.read().messages).toBe(0);
  pace.end(atMs, atMs + 2, 'a chord');
  const { messages, worstMs, slowest } = pace.read();
  expect(messages).toBe(1);
  expect(worstMs).toBe(2);
  expect(slowest).toHaveLength(1);
  expect(slowest[0]).toContain('a chord');
  pace.clear();
  expect(pace.read()).toMatchObject({ messages: 0, slowest: [], collections: { count: 0, longestMs: 0 } });
});
