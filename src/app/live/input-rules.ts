import { CONTROL_CHANGE, isNoteOff, isNoteOn, PROGRAM_CHANGE } from '../../core/midi/index.js';
import type { ActionRule } from './live-settings.js';

/** From this value on a controller counts as pressed. MIDI 1.0 Detailed Specification 4.2.1, switches: 0-63 off, 64-127 on. */
const PRESSED = 64;

/** The action of a message. */
export interface ActionMatch {
  /** It belongs to a rule, so it isn't passed on, even if it triggers nothing (a pedal that comes up). */
  readonly isTaken: boolean;
  /** The rule whose action is triggered now; `undefined` for a release. */
  readonly rule: ActionRule | undefined;
}

const NOTHING: ActionMatch = Object.freeze({ isTaken: false, rule: undefined });
const RELEASED: ActionMatch = Object.freeze({ isTaken: true, rule: undefined });

/**
 * Finds the rule of a message: the actions of hands and feet beside playing.
 *
 * A controller triggers when it is pressed, not while it is moved or held, and again after it came up. That of a latching
 * switch triggers at each press: when it goes down and when it comes up, and at its first message, since where it stood
 * before is unknown. A key triggers when it goes down, a program change each time.
 */
export class ActionRules {
  readonly #rules: readonly ActionRule[];
  /** Rules whose controller is down. */
  readonly #pressed = new Set<ActionRule>();
  /** Rules of latching switches: what they trigger at each end, and whether the switch is down, once that is known. */
  readonly #latches = new Map<ActionRule, Latch>();

  constructor(rules: readonly ActionRule[]) {
    this.#rules = rules;
    for (const rule of rules) if (rule.on.switch === 'latching') this.#latches.set(rule, createLatch(rule));
  }

  /**
   * @param input the name of the input the message came in by
   * @example rules.find('Pedals', 0xb0, 67, 127).rule?.action;
   */
  find(input: string, status: number, data1: number, data2: number): ActionMatch {
    for (const rule of this.#rules) {
      const { on } = rule;
      if (on.number !== data1) continue;
      if (on.channel !== undefined && on.channel !== (status & 0x0f)) continue;
      if (on.input !== undefined && on.input !== input) continue;
      const match = this.#match(rule, status, data2);
      if (match.isTaken) return match;
    }
    return NOTHING;
  }

  #match(rule: ActionRule, status: number, data2: number): ActionMatch {
    const type = status & 0xf0;
    switch (rule.on.kind) {
      case 'note':
        if (isNoteOn(status, data2)) return { isTaken: true, rule };
        return isNoteOff(status, data2) ? RELEASED : NOTHING;
      case 'program':
        return type === PROGRAM_CHANGE ? { isTaken: true, rule } : NOTHING;
      case 'controller': {
        if (type !== CONTROL_CHANGE) return NOTHING;
        const latch = this.#latches.get(rule);
        if (latch !== undefined) return turn(latch, data2 >= PRESSED);
        const wasPressed = this.#pressed.has(rule);
        if (data2 < PRESSED) {
          this.#pressed.delete(rule);
          return RELEASED;
        }
        this.#pressed.add(rule);
        return wasPressed ? RELEASED : { isTaken: true, rule };
      }
    }
  }
}

/** A latching switch, and what it triggers when it goes down and when it comes up. */
interface Latch {
  isDown: boolean | undefined;
  readonly down: ActionMatch;
  readonly up: ActionMatch;
}

/** What turns something on and off by turns follows the switch: on while it is down. Anything else is the same both ways. */
function createLatch(rule: ActionRule): Latch {
  const { action } = rule;
  const isToggle = action === 'bypass' || action === 'hold-drift';
  return {
    isDown: undefined,
    down: { isTaken: true, rule: isToggle ? { ...rule, action: `${action}-on` } : rule },
    up: { isTaken: true, rule: isToggle ? { ...rule, action: `${action}-off` } : rule },
  };
}

function turn(latch: Latch, isDown: boolean): ActionMatch {
  if (latch.isDown === isDown) return RELEASED;
  latch.isDown = isDown;
  return isDown ? latch.down : latch.up;
}

/** The time over which messages are counted, in milliseconds, and its number of slices. */
const WINDOW_MS = 1000;
const SLICES = 10;

/**
 * Opens when more messages come within a second than may, and stays open until it is closed. Hot path: allocates
 * nothing. The second is a sliding window in steps of a tenth.
 *
 * @example
 * const fuse = new RateFuse(8000);
 * fuse.take(0)  // true: not open
 */
export class RateFuse {
  readonly #most: number;
  readonly #slices = new Uint32Array(SLICES);
  #slice = 0;
  #sum = 0;
  #isOpen = false;

  /** @param most messages a second that still pass */
  constructor(most: number) {
    this.#most = most;
  }

  get isOpen(): boolean {
    return this.#isOpen;
  }

  /** Counts a message. @returns whether it may pass */
  take(nowMs: number): boolean {
    if (this.#isOpen) return false;
    this.#moveTo(Math.floor((nowMs * SLICES) / WINDOW_MS));
    this.#slices[this.#slice % SLICES]++;
    this.#sum++;
    if (this.#sum > this.#most) this.#isOpen = true;
    return !this.#isOpen;
  }

  /** Closes the fuse; messages pass again, counted from 0. */
  close(): void {
    this.#isOpen = false;
    this.#slices.fill(0);
    this.#sum = 0;
  }

  #moveTo(slice: number): void {
    if (slice === this.#slice) return;
    // If the clock went back, or forward by more than a window, the count restarts.
    if (slice < this.#slice || slice >= this.#slice + SLICES) {
      this.#slices.fill(0);
      this.#sum = 0;
    } else {
      for (let next = this.#slice + 1; next <= slice; next++) {
        this.#sum -= this.#slices[next % SLICES];
        this.#slices[next % SLICES] = 0;
      }
    }
    this.#slice = slice;
  }
}
