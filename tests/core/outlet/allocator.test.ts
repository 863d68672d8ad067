import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chooseFree, chooseShared, disturbsTail, FreeMembers } from '../../../src/core/outlet/allocator.js';
import { NO_EXPRESSION } from '../../../src/core/outlet/fingers.js';
import { createMember, type Member, type SentNote } from '../../../src/core/outlet/member.js';
import { forAll } from '../../support/properties.js';

const HOLD_MS = 500;

function member(channel: number, fields: Partial<Omit<Member, 'notes'>>, keys: number[] = []): Member {
  const made: Member = { ...createMember(channel), part: 0, ...fields };
  for (const key of keys) {
    const links = { before: undefined, after: undefined, nextDown: undefined };
    const what = { id: key, part: 0, playedKey: key, key, cents: 100 * key, isClamped: false };
    const note: SentNote = { ...what, expression: NO_EXPRESSION, member: made, ...links };
    made.notes.add(note);
    made.keyCounts[key]++;
  }
  return made;
}

const request = { key: 60, part: 0, bend: 8000, expression: NO_EXPRESSION, atMs: 1000 };
const isReady = (m: Member, part: number): boolean => m.part === part;
/** The longest released first, as the free ones are kept. */
const free = (...members: Member[]): number | undefined =>
  chooseFree(
    members.toSorted((a, b) => a.freedAtMs - b.freedAtMs || 0),
    request,
    HOLD_MS,
    isReady,
  )?.channel;
const shared = (...members: Member[]): number => chooseShared(members, request, isReady).channel;

describe('chooseFree', () => {
  test('takes nothing when no channel is free', () => expect(free()).toBeUndefined());

  test('prefers a channel that needs no bend, even while its tail rings', () => {
    expect(free(member(0, {}), member(1, { bend: 8000, freedAtMs: 990 }))).toBe(1);
  });

  test('prefers among those without a bend the one that last played the key, then the longest released', () => {
    const at = (channel: number, freedAtMs: number, lastKey: number): Member =>
      member(channel, { bend: 8000, freedAtMs, lastKey });
    expect(free(at(0, 100, 59), at(1, 900, 60), at(2, 50, 61))).toBe(1);
    expect(free(at(0, 100, 59), at(1, 900, 62), at(2, 50, 61))).toBe(2);
  });

  test('takes otherwise the longest released, and never a ringing one while another has rung out', () => {
    const freed = (...times: number[]): Member[] => times.map((freedAtMs, i) => member(i, { freedAtMs }));
    expect(free(...freed(600, 400, 450))).toBe(1);
    expect(free(...freed(700, 600, 800))).toBe(1);
    // Rung out at exactly the hold time, and carrying another part: still better than a tail that would be bent.
    expect(free(member(0, { freedAtMs: 501 }), member(1, { freedAtMs: 500, part: 7 }))).toBe(1);
  });

  test('prefers among the rung out one that carries the part, then one that last played the key', () => {
    expect(free(member(0, { freedAtMs: 100, part: 7 }), member(1, { freedAtMs: 300 }))).toBe(1);
    expect(free(member(0, { freedAtMs: 300 }), member(1, { freedAtMs: 300, lastKey: 60 }))).toBe(1);
    expect(free(member(0, { freedAtMs: 200 }), member(1, { freedAtMs: 300, lastKey: 60 }))).toBe(0);
  });

  test('does not count a channel at the right bend as untouched under another part', () => {
    expect(free(member(0, { bend: 8000, freedAtMs: 990, part: 7 }), member(1, { freedAtMs: 100 }))).toBe(1);
  });

  test('takes what comes first when all of them are put in the order of the rules', () => {
    const one = fc.record({
      bend: fc.constantFrom(8000, 8100),
      part: fc.constantFrom(0, 7),
      lastKey: fc.constantFrom(60, 61),
      freedAtMs: fc.constantFrom(-Infinity, 100, 400, 500, 501, 900, 1000),
    });
    forAll([fc.array(one, { minLength: 1, maxLength: 15 })], 2000, (fields) => {
      const members = fields.map((its, channel) => member(channel, its));
      expect(free(...members)).toBe(members.toSorted(byRules)[0].channel);
    });
  });
});

/** Rank, then what counts within it, then the longest released, then the key, then the order of the list. */
function byRules(a: Member, b: Member): number {
  const toPlaces = (m: Member): number[] => {
    const ready = isReady(m, request.part);
    const untouched = ready && m.bend === request.bend;
    const rungOut = !untouched && request.atMs - m.freedAtMs >= HOLD_MS;
    const played = m.lastKey === request.key;
    return [
      untouched ? 0 : rungOut ? 1 : 2,
      Number(untouched ? !played : rungOut && !ready),
      m.freedAtMs,
      Number(!played),
      m.channel,
    ];
  };
  const bs = toPlaces(b);
  const at = toPlaces(a).findIndex((place, i) => place !== bs[i]);
  return at < 0 ? 0 : toPlaces(a)[at] < bs[at] ? -1 : 1;
}

test.each([
  ['another bend, still ringing', { freedAtMs: 600 }, true],
  ['another bend, rung out', { freedAtMs: 500 }, false],
  ['the same bend, still ringing', { freedAtMs: 999, bend: 8000 }, false],
  ['the same bend, another part, still ringing', { freedAtMs: 999, bend: 8000, part: 3 }, true],
  ['never used', {}, false],
])('disturbsTail decides for %s', (_name, fields, expected) => {
  expect(disturbsTail(member(0, fields), request, HOLD_MS, isReady)).toBe(expected);
});

describe('chooseShared', () => {
  test('takes the nearest bend, up or down', () => {
    const bent = (...bends: number[]): Member[] => bends.map((bend, i) => member(i, { bend }, [50 + i]));
    expect(shared(...bent(7000, 8100, 7890))).toBe(1);
    expect(shared(...bent(7000, 8111, 7890))).toBe(2);
  });

  test('avoids a channel where the key sounds, however near', () => {
    expect(shared(member(0, { bend: 8000 }, [60]), member(1, { bend: 100 }, [51]))).toBe(1);
    expect(shared(member(0, { bend: 8000 }, [60]), member(1, { bend: 100 }, [60]))).toBe(0);
  });

  test('prefers a channel of the same part, then fewest notes, then the first', () => {
    expect(shared(member(0, { bend: 8000, part: 7 }, [50]), member(1, { bend: 100 }, [51]))).toBe(1);
    expect(shared(member(0, {}, [50, 52]), member(1, {}, [51]))).toBe(1);
    expect(shared(member(0, {}, [50]), member(1, {}, [51]))).toBe(0);
  });
});

function setUp(channels: readonly number[]) {
  const members = channels.map((channel) => createMember(channel));
  const free = new FreeMembers(members);
  return { members, free, listed: () => free.list.map(({ channel }) => channel) };
}

function giveBack(free: FreeMembers, member: Member, freedAtMs: number): void {
  member.freedAtMs = freedAtMs;
  free.add(member);
}

describe('the free members', () => {
  test('are all, in the order of the outlet, before the first note', () => {
    expect(setUp([14, 13, 2, 5]).listed()).toEqual([14, 13, 2, 5]);
  });

  test('lack members with notes, and have them last when they are free again', () => {
    const { members, free, listed } = setUp([1, 2, 3]);
    free.remove(members[1]);
    expect(listed()).toEqual([1, 3]);
    free.remove(members[0]);
    giveBack(free, members[1], 10);
    giveBack(free, members[0], 20);
    expect(listed()).toEqual([3, 2, 1]);
    for (const member of members) free.remove(member);
    expect(listed()).toEqual([]);
  });

  test('are in the order of the outlet when they are released together', () => {
    const { members, free, listed } = setUp([9, 4, 7]);
    for (const member of members) free.remove(member);
    giveBack(free, members[2], 10);
    giveBack(free, members[1], 10);
    giveBack(free, members[0], 10);
    expect(listed()).toEqual([9, 4, 7]);
  });
});
