import { BEND_CENTRE, ParameterChoice, RPN } from '../midi/index.js';

/** General MIDI's bend range for a channel that was given none, in cents. */
export const DEFAULT_RANGE_CENTS = 200;

/**
 * What one channel does to the pitch of its keys by itself: its bend within its range, fine and coarse tuning, and which
 * tuning program it plays by.
 *
 * A bend is taken for what its sender meant, `(value − 8192) · range ÷ 8192`, on members of a zone too: the other
 * reading MPE 1.1 allows a receiver, by 8191, would be up to 0.012 cents off within a semitone.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change, and Registered Parameter Numbers 0 to 3
 * @example
 * const tuning = new ChannelTuning();
 * tuning.bend = 12288;
 * tuning.ownCents  // 100, at 2 semitones
 */
export class ChannelTuning {
  /** The wheel, 0..16383. */
  bend = BEND_CENTRE;
  rangeCents = DEFAULT_RANGE_CENTS;
  tuningProgram = 0;
  /** The parameter that data entry means. */
  readonly parameter = new ParameterChoice();
  #fineCents = 0;
  #coarseCents = 0;

  /** What it adds to each of its keys, in cents. */
  get ownCents(): number {
    return ((this.bend - BEND_CENTRE) * this.rangeCents) / BEND_CENTRE + this.#fineCents + this.#coarseCents;
  }

  /** One half of the bend range: whole semitones, or the cents beyond them. */
  enterRange(isHigh: boolean, value: number): void {
    const cents = this.rangeCents % 100;
    this.rangeCents = isHigh ? 100 * value + cents : this.rangeCents - cents + Math.min(value, 99);
  }

  /** One half of fine or coarse tuning, or the tuning program. Of what is one byte only, the low half says nothing. */
  enter(parameter: number, isHigh: boolean, value: number): void {
    switch (parameter) {
      case RPN.fineTuning: {
        const steps = Math.round((this.#fineCents * 8192) / 100) + 8192;
        const entered = isHigh ? (value << 7) | (steps & 0x7f) : (steps & 0x3f80) | value;
        this.#fineCents = ((entered - 8192) * 100) / 8192;
        break;
      }
      case RPN.coarseTuning:
        if (isHigh) this.#coarseCents = 100 * (value - 64);
        break;
      case RPN.tuningProgram:
        if (isHigh) this.tuningProgram = value;
        break;
    }
  }
}
