import {
  BEND_CENTRE,
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  ParameterChoice,
  PITCH_BEND,
  POLY_PRESSURE,
  RPN,
  toFourteenBit,
} from '../midi/index.js';
import { toBendCents } from './bend.js';
import { UNSET } from './channel-state.js';

/** What a finger adds to its notes, beside what is set for the whole part. */
export interface Expression {
  /** Added to the tuning and the part's wheel, in cents. */
  bendCents: number;
  /** Channel pressure and CC 74, 0..127; {@link UNSET} where the finger never set it. */
  pressure: number;
  timbre: number;
}

/** The expression of a note that belongs to no finger. */
export const NO_EXPRESSION: Expression = Object.freeze({ bendCents: 0, pressure: UNSET, timbre: UNSET });

/** What a message has changed, as bits. */
export const CHANGED = { bend: 1, pressure: 2, timbre: 4 } as const;
const ALL = CHANGED.bend | CHANGED.pressure | CHANGED.timbre;

/** Bend range of member channels after an MPE Configuration Message, in semitones. */
const MEMBER_SEMITONES = 48;

/**
 * What the fingers of MPE zones do: each has a bend, a pressure and a CC 74 of its own. RPN 0 from one finger holds for
 * all of its part. A configuration message of the part, and Reset All Controllers for all of it, reset every finger.
 *
 * Everything else on a member channel has no effect. A receiver may ignore it, and some senders repeat on each member
 * what they send to the zone: a program or a pedal must count once.
 *
 * Hot path: allocates nothing once a finger is known.
 *
 * @see MPE 1.1: member channels, bend range by RPN 0, and the MPE Configuration Message
 * @example
 * const fingers = new Fingers();
 * fingers.control(0, 3, 0xe3, 0, 72)  // 1: the bend has changed
 * fingers.of(0, 3).bendCents          // 600, at a range of 48 semitones
 */
export class Fingers {
  readonly #hands: Hand[] = [];

  /** What a finger of a part adds now. The same object each time: it follows the finger. */
  of(part: number, finger: number): Expression {
    return finger === 0 ? NO_EXPRESSION : this.#hand(part).finger(finger);
  }

  /**
   * Takes a message that is no key going down or up.
   *
   * @param finger 1..15, or 0 for the whole part
   * @returns what it has changed for notes of the part: bits of {@link CHANGED}
   */
  control(part: number, finger: number, status: number, data1: number, data2: number): number {
    const type = status & 0xf0;
    if (finger > 0) return this.#hand(part).control(finger, type, data1, data2);
    if (type !== CONTROL_CHANGE) return 0;
    // A part that never had fingers needs only its configuration watched, which comes before them.
    return this.#hand(part).configure(data1, data2);
  }

  /** The receiver was reset: fingers count as never heard. Only in silence. */
  forget(): void {
    this.#hands.length = 0;
  }

  #hand(part: number): Hand {
    this.#hands[part] ??= new Hand();
    return this.#hands[part];
  }
}

interface Finger extends Expression {
  wheel: number;
  readonly parameter: ParameterChoice;
}

/** The fingers of one part. */
class Hand {
  readonly #fingers: (Finger | undefined)[] = [];
  readonly #parameter = new ParameterChoice();
  #rangeSemitones = MEMBER_SEMITONES;
  #rangeCents = 0;

  finger(finger: number): Finger {
    this.#fingers[finger] ??= {
      bendCents: 0,
      pressure: UNSET,
      timbre: UNSET,
      wheel: BEND_CENTRE,
      parameter: new ParameterChoice(),
    };
    return this.#fingers[finger];
  }

  control(number: number, type: number, data1: number, data2: number): number {
    const finger = this.finger(number);
    switch (type) {
      case PITCH_BEND:
        finger.wheel = toFourteenBit(data1, data2);
        return this.#bend(finger);
      case CHANNEL_PRESSURE:
        finger.pressure = data1;
        return CHANGED.pressure;
      case POLY_PRESSURE:
        // Not allowed there, but a finger has a note or two, and their pressure is its own.
        finger.pressure = data2;
        return CHANGED.pressure;
      case CONTROL_CHANGE:
        return this.#controller(finger, data1, data2);
      default:
        return 0;
    }
  }

  /** A controller of the whole part. */
  configure(controller: number, value: number): number {
    if (controller === CC.resetControllers) {
      this.#parameter.clear();
      return this.#forEach((finger) => this.#reset(finger));
    }
    if (isChoice(controller)) this.#parameter.take(controller, value);
    if (controller !== CC.dataEntry || this.#parameter.selected !== RPN.mpeConfiguration) return 0;
    this.#rangeSemitones = MEMBER_SEMITONES;
    this.#rangeCents = 0;
    return this.#forEach((finger) => {
      this.#reset(finger);
      finger.pressure = UNSET;
      finger.timbre = UNSET;
      return ALL;
    });
  }

  #controller(finger: Finger, controller: number, value: number): number {
    if (controller === CC.timbre) {
      finger.timbre = value;
      return CHANGED.timbre;
    }
    if (controller === CC.resetControllers) return this.#reset(finger);
    if (isChoice(controller)) finger.parameter.take(controller, value);
    if (finger.parameter.selected !== RPN.bendRange) return 0;
    if (controller === CC.dataEntry) this.#rangeSemitones = value;
    else if (controller === CC.dataEntryLsb) this.#rangeCents = value;
    else return 0;
    return this.#forEach((each) => this.#bend(each));
  }

  /** @see RP-015, Response to Reset All Controllers: sound controllers such as CC 74 keep their values */
  #reset(finger: Finger): number {
    finger.wheel = BEND_CENTRE;
    finger.parameter.clear();
    if (finger.pressure !== UNSET) finger.pressure = 0;
    return this.#bend(finger) | CHANGED.pressure;
  }

  #bend(finger: Finger): number {
    finger.bendCents = toBendCents(finger.wheel, this.#rangeSemitones + this.#rangeCents / 100);
    return CHANGED.bend;
  }

  #forEach(change: (finger: Finger) => number): number {
    let changed = 0;
    for (const finger of this.#fingers) if (finger !== undefined) changed |= change(finger);
    return changed;
  }
}

/** Whether a controller is half of a parameter's number. */
function isChoice(controller: number): boolean {
  return controller >= CC.nrpnLsb && controller <= CC.rpnMsb;
}

/**
 * The expression of a note whose key comes up: as it is now, since the finger goes on to other notes.
 *
 * @example keepExpression(NO_EXPRESSION) === NO_EXPRESSION  // true
 */
export function keepExpression(expression: Expression): Expression {
  if (expression === NO_EXPRESSION) return expression;
  const { bendCents, pressure, timbre } = expression;
  return { bendCents, pressure, timbre };
}
