import type { Member } from './member.js';

/**
 * The members without notes, in the order in which their tails may be disturbed: the longest released first, and those
 * released at the same time in the order of the outlet's list. Kept in that order, so that nobody has to search.
 *
 * @example new FreeMembers([1, 2, 3].map((channel) => createMember(channel))).list[0].channel  // 1
 */
export class FreeMembers {
  readonly #list: Member[] = [];
  /** Place in the outlet's list, by channel. */
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

  /** A member's last note has ended: its `freedAtMs` says when. */
  add(member: Member): void {
    const list = this.#list;
    // It comes last, but for those released at the same time.
    let at = list.push(member) - 1;
    for (; at > 0 && this.#isBefore(member, list[at - 1]); at--) list[at] = list[at - 1];
    list[at] = member;
  }

  /** A member that is free gets a note. */
  remove(member: Member): void {
    const list = this.#list;
    // By hand: `splice` makes a list of what it takes out, at every note.
    for (let at = list.indexOf(member); at < list.length - 1; at++) list[at] = list[at + 1];
    list.pop();
  }

  #isBefore(a: Member, b: Member): boolean {
    if (a.freedAtMs !== b.freedAtMs) return a.freedAtMs < b.freedAtMs;
    return this.#places[a.channel] < this.#places[b.channel];
  }
}
