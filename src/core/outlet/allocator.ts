import type { Expression } from './fingers.js';
import type { Member } from './member.js';

/** What a new note asks of the channel it will get. */
export interface ChannelRequest {
  /** The key that will be sent, 0..127. */
  readonly key: number;
  readonly part: number;
  /** The bend the note needs, 0..16383. */
  readonly bend: number;
  readonly expression: Expression;
  readonly atMs: number;
}

/** Whether the member needs nothing but its bend for a note of `part` with that expression. */
export type IsReady = (member: Member, part: number, expression: Expression) => boolean;

/** What a member needs beside its bend before a note of a part may start on it. */
export interface MemberSetup {
  readonly isReady: IsReady;
  readonly prepare: (member: Member, part: number, expression: Expression) => void;
}

/**
 * The free channel whose tail suffers least, or nothing when none is free. A channel is free when all its notes have
 * ended.
 *
 * First choice: a channel that needs no change, preferably one that last played the same key, then the longest
 * released. Second: one whose release hold time is over, preferably one that needs only a bend, then the longest
 * released. Else the longest released, and the note is hurried. In a tie the same key, then the order of the list. Hot
 * path: allocates nothing.
 *
 * @param free   the free channels, the longest released first, as {@link FreeMembers} keeps them
 * @param holdMs release hold time, 0 or more
 * @see MPE 1.1, the advice on assigning channels to notes: fewest notes, oldest note-off, the same key
 * @example
 * const free = [1, 2, 3].map((channel) => createMember(channel));
 * chooseFree(free, { key: 60, part: 0, bend: 7631, expression: NO_EXPRESSION, atMs: 0 }, 500, () => true).channel  // 1
 */
export function chooseFree(
  free: readonly Member[],
  request: ChannelRequest,
  holdMs: number,
  isReady: IsReady,
): Member | undefined {
  if (free.length === 0) return undefined;
  return chooseUntouched(free, request, isReady) ?? chooseToBend(free, request, holdMs, isReady);
}

/**
 * Whether giving a free member to a note changes the channel under a tail that may still be heard.
 *
 * @param holdMs release hold time, 0 or more
 * @example
 * const rings = { ...createMember(1), freedAtMs: 900 };  // released 100 ms ago at another bend
 * disturbsTail(rings, { key: 60, part: 0, bend: 7631, expression: NO_EXPRESSION, atMs: 1000 }, 500, () => true)  // true
 */
export function disturbsTail(
  member: Member,
  request: ChannelRequest,
  holdMs: number,
  isReady: IsReady,
): boolean {
  return !hasRungOut(member, request, holdMs) && !isUntouched(member, request, isReady);
}

/**
 * The busy channel to share when none is free. In this order: one where `key` isn't sounding (a note-off can't
 * distinguish two notes of one key on one channel), one that carries the same part, the nearest bend, the fewest notes,
 * the order of the list. Hot path: allocates nothing.
 *
 * @param members at least one
 * @see MPE 1.1, the advice on assigning channels to notes: with none free, the one that needs least pitch change
 * @example
 * const members = [1, 2].map((channel) => createMember(channel));
 * members[1].bend = 7600;
 * chooseShared(members, { key: 60, part: 0, bend: 7631, expression: NO_EXPRESSION, atMs: 0 }, () => true).channel  // 2: the nearest bend
 */
export function chooseShared(members: readonly Member[], request: ChannelRequest, isReady: IsReady): Member {
  let best = members[0];
  for (const member of members) if (isLesserEvil(member, best, request, isReady)) best = member;
  return best;
}

/** One that can ring on: nothing has to be sent before the note-on. */
function chooseUntouched(
  free: readonly Member[],
  request: ChannelRequest,
  isReady: IsReady,
): Member | undefined {
  let first: Member | undefined;
  for (const member of free) {
    if (!isUntouched(member, request, isReady)) continue;
    if (member.lastKey === request.key) return member;
    first ??= member;
  }
  return first;
}

/**
 * The longest released, and one that needs only a bend if both have rung out; of those released together the one that
 * last played the key.
 */
function chooseToBend(
  free: readonly Member[],
  request: ChannelRequest,
  holdMs: number,
  isReady: IsReady,
): Member {
  let best = free[0];
  let bestFits = fitsOnceBent(best, request, holdMs, isReady);
  for (let i = 1; i < free.length; i++) {
    const member = free[i];
    const isAsOld = member.freedAtMs === best.freedAtMs;
    // Those that follow were released later still.
    if (!isAsOld && (bestFits || !hasRungOut(member, request, holdMs))) break;
    const fits = fitsOnceBent(member, request, holdMs, isReady);
    const isKeysOwn = member.lastKey === request.key && best.lastKey !== request.key;
    if (fits === bestFits ? isAsOld && isKeysOwn : fits) {
      best = member;
      bestFits = fits;
    }
  }
  return best;
}

/** Whether a channel needs only a bend; while its tail rings, more does no further harm. */
function fitsOnceBent(member: Member, request: ChannelRequest, holdMs: number, isReady: IsReady): boolean {
  return !hasRungOut(member, request, holdMs) || isReady(member, request.part, request.expression);
}

function isUntouched(member: Member, request: ChannelRequest, isReady: IsReady): boolean {
  return member.bend === request.bend && isReady(member, request.part, request.expression);
}

function hasRungOut(member: Member, request: ChannelRequest, holdMs: number): boolean {
  return request.atMs - member.freedAtMs >= holdMs;
}

function isLesserEvil(a: Member, b: Member, request: ChannelRequest, isReady: IsReady): boolean {
  const aCollides = a.keyCounts[request.key] > 0;
  if (aCollides !== b.keyCounts[request.key] > 0) return !aCollides;
  const aReady = isReady(a, request.part, request.expression);
  if (aReady !== isReady(b, request.part, request.expression)) return aReady;
  const aMove = Math.abs(a.bend - request.bend);
  const bMove = Math.abs(b.bend - request.bend);
  if (aMove !== bMove) return aMove < bMove;
  return a.notes.count < b.notes.count;
}

/**
 * The members without notes, the longest released first; those released together in the order of the outlet's list.
 * Stored in that order, so that nothing has to be searched.
 *
 * @example new FreeMembers([1, 2, 3].map((channel) => createMember(channel))).list[0].channel  // 1
 */
export class FreeMembers {
  readonly #list: Member[] = [];
  /** Index in the outlet's list, by channel. */
  readonly #places = new Uint8Array(16);

  /** @param members the outlet's list; all of them silent, and none released yet */
  constructor(members: readonly Member[]) {
    for (let place = 0; place < members.length; place++) {
      this.#places[members[place].channel] = place;
      this.add(members[place]);
    }
  }

  get list(): readonly Member[] {
    return this.#list;
  }

  /** Adds a member whose last note has ended at its `freedAtMs`. */
  add(member: Member): void {
    const list = this.#list;
    // It comes last, except for those released at the same time.
    let at = list.push(member) - 1;
    for (; at > 0 && this.#isBefore(member, list[at - 1]); at--) list[at] = list[at - 1];
    list[at] = member;
  }

  remove(member: Member): void {
    const list = this.#list;
    // Not `splice`, which makes a list of what it removes, at every note.
    for (let at = list.indexOf(member); at < list.length - 1; at++) list[at] = list[at + 1];
    list.pop();
  }

  #isBefore(a: Member, b: Member): boolean {
    if (a.freedAtMs !== b.freedAtMs) return a.freedAtMs < b.freedAtMs;
    return this.#places[a.channel] < this.#places[b.channel];
  }
}
