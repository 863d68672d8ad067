import { CC, RPN } from './controllers.js';
import { ParameterChoice } from './parameter-choice.js';
import { CONTROL_CHANGE } from './status.js';

/** The zones before any configuration message. */
export type Zones = 'none' | 'lower' | 'upper' | 'both';

const LOWER_MANAGER = 0;
const UPPER_MANAGER = 15;
/** Members of a zone that has all channels but its manager's, and of each zone where there are two. */
const ALL_MEMBERS = 15;
const HALF_MEMBERS = 7;

/**
 * Which channels of a stream are an MPE zone: the lower one is managed by channel 0, the upper one by channel 15, and
 * their members count from there. Follows the MPE Configuration Messages in it. One that overlaps the other zone shrinks
 * that; one with no members ends its own.
 *
 * Hot path: allocates nothing.
 *
 * @see MPE 1.1, MPE Configuration Message (RPN 6)
 * @example
 * const zones = new MpeZones('both');
 * zones.managerOf(9)  // 15
 * zones.fingerOf(9)   // 6
 */
export class MpeZones {
  /** How many members each zone has; 0: there is no such zone. */
  #lower: number;
  #upper: number;
  readonly #lowerChoice = new ParameterChoice();
  readonly #upperChoice = new ParameterChoice();

  constructor(zones: Zones = 'none') {
    const members = zones === 'both' ? HALF_MEMBERS : ALL_MEMBERS;
    this.#lower = zones === 'lower' || zones === 'both' ? members : 0;
    this.#upper = zones === 'upper' || zones === 'both' ? members : 0;
  }

  /** The channel that manages a channel 0..15: its zone's manager, or the channel itself where it is in no zone. */
  managerOf(channel: number): number {
    if (this.#isInLower(channel)) return LOWER_MANAGER;
    return this.#isInUpper(channel) ? UPPER_MANAGER : channel;
  }

  /** The finger whose channel it is: 1..15, counted from the manager; 0 for a manager, and in no zone. */
  fingerOf(channel: number): number {
    return Math.abs(channel - this.managerOf(channel));
  }

  /**
   * Takes a channel message. @returns whether it was a configuration message
   */
  take(status: number, data1: number, data2: number): boolean {
    if ((status & 0xf0) !== CONTROL_CHANGE) return false;
    const channel = status & 0x0f;
    if (channel !== LOWER_MANAGER && channel !== UPPER_MANAGER) return false;
    const choice = channel === LOWER_MANAGER ? this.#lowerChoice : this.#upperChoice;
    if (data1 >= CC.nrpnLsb && data1 <= CC.rpnMsb) choice.take(data1, data2);
    else if (data1 === CC.resetControllers) choice.clear();
    if (data1 !== CC.dataEntry || choice.selected !== RPN.mpeConfiguration || data2 > ALL_MEMBERS)
      return false;
    this.configure(channel, data2);
    return true;
  }

  /** Makes, changes or ends the zone of a manager, 0 or 15. @param members 0..15 */
  configure(manager: number, members: number): void {
    if (manager === LOWER_MANAGER) {
      this.#lower = members;
      this.#upper = shrink(this.#upper, members);
    } else {
      this.#upper = members;
      this.#lower = shrink(this.#lower, members);
    }
  }

  /** How many members the zone of a manager has, 0 or 15 being one; 0: there is no such zone. */
  membersOf(manager: number): number {
    return manager === LOWER_MANAGER ? this.#lower : this.#upper;
  }

  #isInLower(channel: number): boolean {
    return this.#lower > 0 && channel <= this.#lower;
  }

  #isInUpper(channel: number): boolean {
    return this.#upper > 0 && channel >= UPPER_MANAGER - this.#upper;
  }
}

/** What is left of a zone beside another with so many members: both have a manager too. */
function shrink(members: number, others: number): number {
  return others === 0 ? members : Math.max(0, Math.min(members, 14 - others));
}
