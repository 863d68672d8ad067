import { CONTROL_CHANGE } from '../../core/midi/index.js';
import { KNOB, type NumberRange, TUNER, toWords } from '../../core/settings/index.js';

/** A setting that a knob can turn. */
export type KnobSetting = keyof typeof KNOB.sets.words;

/** A controller that turns a setting. No two rules of a session, knob or action, match the same message. */
export interface KnobRule {
  /** 0..119. */
  readonly controller: number;
  /** 0..15; `undefined`: any. */
  readonly channel: number | undefined;
  /** The name of the input's port; `undefined`: any. */
  readonly input: string | undefined;
  readonly sets: KnobSetting;
  /** The values at both ends, in the setting's unit; `least` may be above `most`. */
  readonly least: number;
  readonly most: number;
}

/** The ends of a knob by default: what a player turns through, not all that a setting can be. */
export const KNOB_ENDS: Readonly<Record<KnobSetting, readonly [least: number, most: number]>> = {
  leeway: [0, 25],
  rate: [0.5, 50],
  a4: [430, 450],
  recall: [0, 25],
};

/** The bounds of what a knob sets. @example toKnobBounds('rate').least  // 0.1 */
export function toKnobBounds(setting: KnobSetting): NumberRange {
  return TUNER[setting];
}

const TOP = 127;
/** The middle position, as of a pitch wheel; some knobs have a notch there. */
const MIDDLE = 64;

/**
 * The value of a knob, to a hundredth, at a position 0..127.
 *
 * Leeway and recall go evenly. The rate goes by equal factors, as hands and ears take speeds: from 1 to 2 is as far as
 * from 10 to 20. The pitch of A goes evenly to both sides of 64, where its middle is, so that a notch finds it exactly.
 *
 * @example toKnobValue({ sets: 'a4', least: 430, most: 450 }, 64)  // 440
 */
export function toKnobValue(
  { sets, least, most }: Pick<KnobRule, 'sets' | 'least' | 'most'>,
  position: number,
): number {
  return Math.round(100 * toExact(sets, least, most, position)) / 100;
}

function toExact(sets: KnobSetting, least: number, most: number, position: number): number {
  if (sets === 'rate') return least * (most / least) ** (position / TOP);
  if (sets !== 'a4') return least + (most - least) * (position / TOP);
  const share = position < MIDDLE ? position / MIDDLE / 2 : 0.5 + (position - MIDDLE) / (TOP - MIDDLE) / 2;
  return least + (most - least) * share;
}

const SETTINGS: readonly KnobSetting[] = toWords(KNOB.sets);

/**
 * The knobs of a session. A message only stores the position of its knob. The session takes the newest positions at its next
 * tick, so a thousand messages in between are one change.
 *
 * @example
 * const knobs = new Knobs([{ controller: 1, channel: undefined, input: undefined, sets: 'leeway', least: 0, most: 127 }]);
 * knobs.turn('Keys', 0xb0, 1, 20)  // true: it isn't passed on
 * knobs.turn('Keys', 0xb0, 1, 30)  // true
 * const taken = [];
 * knobs.take((setting, value) => taken.push(setting, value));
 * taken  // ['leeway', 30]
 */
export class Knobs {
  #rules: readonly KnobRule[];
  /** By setting: the knob that was turned last, and its position; no knob where none was. */
  readonly #turned: (KnobRule | undefined)[] = SETTINGS.map(() => undefined);
  readonly #positions = new Uint8Array(SETTINGS.length);
  #isTurned = false;

  constructor(rules: readonly KnobRule[]) {
    this.#rules = rules;
  }

  /** Changes the knobs. What was turned and not taken is dropped. */
  want(rules: readonly KnobRule[]): void {
    this.#rules = rules;
    this.#turned.fill(undefined);
    this.#isTurned = false;
  }

  /** Whether there is something to take. */
  get isTurned(): boolean {
    return this.#isTurned;
  }

  /**
   * Stores the position of a knob. Hot path: allocates nothing.
   * @param input the name of the input the message came in by
   * @returns whether the message is a knob's, and isn't passed on
   */
  turn(input: string, status: number, data1: number, data2: number): boolean {
    if ((status & 0xf0) !== CONTROL_CHANGE) return false;
    for (const rule of this.#rules) {
      if (rule.controller !== data1) continue;
      if (rule.channel !== undefined && rule.channel !== (status & 0x0f)) continue;
      if (rule.input !== undefined && rule.input !== input) continue;
      const slot = SETTINGS.indexOf(rule.sets);
      this.#turned[slot] = rule;
      this.#positions[slot] = data2;
      this.#isTurned = true;
      return true;
    }
    return false;
  }

  /** Gives the newest value of each setting that was turned since the last call. */
  take(set: (setting: KnobSetting, value: number) => void): void {
    if (!this.#isTurned) return;
    this.#isTurned = false;
    this.#turned.forEach((rule, slot) => {
      if (rule === undefined) return;
      this.#turned[slot] = undefined;
      set(rule.sets, toKnobValue(rule, this.#positions[slot]));
    });
  }
}
