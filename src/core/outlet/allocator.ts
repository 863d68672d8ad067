import type { Member } from './member.js';

/** What a new note asks of the channel it will get. */
export interface ChannelWish {
  /** The key that will be sent, 0..127. */
  readonly key: number;
  readonly part: number;
  /** The bend the note needs, 0..16383. */
  readonly bend: number;
  readonly atMs: number;
}

/** Whether all a note of `part` needs beside its bend already stands on the member. */
export type IsReady = (member: Member, part: number) => boolean;

// How much a free channel's tail would suffer, best first.
const UNTOUCHED = 0; // it rings on as it is: nothing has to be sent before the note-on
const RUNG_OUT = 1; //  its release hold time is over
const RINGING = 2; //   its tail would be bent

/**
 * The free channel whose tail suffers least, or nothing when none is free. A channel is free when all its notes have
 * ended.
 *
 * First any that needs no change at all, there the one that last played the same key, then the longest released. Else
 * one whose release hold time is over: one that needs no more than a bend, then the longest released. Else the longest
 * released, and the note is hurried. Among equals the same key, then the order of the list.
 * Hot path: allocates nothing.
 *
 * @param holdMs release hold time, 0 or more
 * @see MPE 1.1, the advice on assigning channels to notes: fewest notes, oldest note-off, the same key
 * @example chooseFree(members, { key: 60, part: 0, bend: 7631, atMs }, 500, isReady)
 */
export function chooseFree(
  members: readonly Member[],
  wish: ChannelWish,
  holdMs: number,
  isReady: IsReady,
): Member | undefined {
  let best: Member | undefined;
  let bestRank = RINGING;
  let bestReady = false;
  for (const member of members) {
    if (member.notes.length > 0) continue;
    const ready = isReady(member, wish.part);
    const rank = toRank(member, wish, holdMs, ready);
    if (
      best === undefined ||
      rank < bestRank ||
      (rank === bestRank && isBetter(member, ready, best, bestReady, rank, wish))
    ) {
      best = member;
      bestRank = rank;
      bestReady = ready;
    }
  }
  return best;
}

/**
 * Whether giving a free member to a note changes the channel under a tail that may still be heard.
 *
 * @param holdMs release hold time, 0 or more
 * @example disturbsTail(member, wish, 500, isReady)  // true: released 100 ms ago at another bend
 */
export function disturbsTail(member: Member, wish: ChannelWish, holdMs: number, isReady: IsReady): boolean {
  return toRank(member, wish, holdMs, isReady(member, wish.part)) === RINGING;
}

/**
 * The busy channel to share when none is free: one where `key` isn't sounding, if any (two notes of one key on one
 * channel can't be told apart by a note-off); then one that carries the same part; then the one whose bend is nearest,
 * so that what sounds moves least; then the one with fewest notes; then the order of the list.
 * Hot path: allocates nothing.
 *
 * @param members at least one
 * @see MPE 1.1, the advice on assigning channels to notes: with none free, the one that needs least pitch change
 * @example chooseShared(members, { key: 60, part: 0, bend: 7631, atMs }, isReady)
 */
export function chooseShared(members: readonly Member[], wish: ChannelWish, isReady: IsReady): Member {
  let best = members[0];
  for (const member of members) if (isLesserEvil(member, best, wish, isReady)) best = member;
  return best;
}

function toRank(member: Member, wish: ChannelWish, holdMs: number, ready: boolean): number {
  if (ready && member.bend === wish.bend) return UNTOUCHED;
  return wish.atMs - member.freedAtMs >= holdMs ? RUNG_OUT : RINGING;
}

/** Whether `a` is the better of two free members of the same rank. */
function isBetter(
  a: Member,
  aReady: boolean,
  b: Member,
  bReady: boolean,
  rank: number,
  wish: ChannelWish,
): boolean {
  const aPlayed = a.lastKey === wish.key;
  const bPlayed = b.lastKey === wish.key;
  if (rank === UNTOUCHED && aPlayed !== bPlayed) return aPlayed;
  if (rank === RUNG_OUT && aReady !== bReady) return aReady;
  if (a.freedAtMs !== b.freedAtMs) return a.freedAtMs < b.freedAtMs;
  return aPlayed && !bPlayed;
}

/** Whether sharing `a` costs less than sharing `b`. */
function isLesserEvil(a: Member, b: Member, wish: ChannelWish, isReady: IsReady): boolean {
  const aCollides = sounds(a, wish.key);
  if (aCollides !== sounds(b, wish.key)) return !aCollides;
  const aReady = isReady(a, wish.part);
  if (aReady !== isReady(b, wish.part)) return aReady;
  const aMove = Math.abs(a.bend - wish.bend);
  const bMove = Math.abs(b.bend - wish.bend);
  if (aMove !== bMove) return aMove < bMove;
  return a.notes.length < b.notes.length;
}

function sounds(member: Member, key: number): boolean {
  for (const note of member.notes) if (note.key === key) return true;
  return false;
}
