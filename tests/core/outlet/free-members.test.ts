import { describe, expect, it } from 'vitest';
import { FreeMembers } from '../../../src/core/outlet/allocator.js';
import { createMember, type Member } from '../../../src/core/outlet/member.js';

function setUp(channels: readonly number[]): {
  members: Member[];
  free: FreeMembers;
  listed: () => number[];
} {
  const members = channels.map((channel) => createMember(channel));
  const free = new FreeMembers(members);
  return { members, free, listed: () => free.list.map(({ channel }) => channel) };
}

function giveBack(free: FreeMembers, member: Member, freedAtMs: number): void {
  member.freedAtMs = freedAtMs;
  free.add(member);
}

describe('the free members', () => {
  it('are all, in the order of the outlet, before the first note', () => {
    expect(setUp([14, 13, 2, 5]).listed()).toEqual([14, 13, 2, 5]);
  });

  it('lack those with notes, and have them last when they are back', () => {
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

  it('stand in the order of the outlet when they are released together', () => {
    const { members, free, listed } = setUp([9, 4, 7]);
    for (const member of members) free.remove(member);
    giveBack(free, members[2], 10);
    giveBack(free, members[1], 10);
    giveBack(free, members[0], 10);
    expect(listed()).toEqual([9, 4, 7]);
  });
});
