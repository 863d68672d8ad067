import { BEND_CENTRE, ParameterChoice, RPN } from '../midi/index.js';

/** General MIDI's default bend range, in cents. */
export const DEFAULT_RANGE_CENTS = 200;

/**
 * What one channel does to the pitch of its keys: its bend within its range, fine and coarse tuning, and the number of
 * its tuning program.
 *
 * A bend is read as its sender meant it, `(value − 8192) · range ÷ 8192`, on members of a zone too. The other reading
 * MPE 1.1 allows a receiver, by 8191, would be up to 0.012 cents off within a semitone.
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
  readonly parameter = new ParameterChoice();
  #fineCents = 0;
  #coarseCents = 0;

  /** Added to each of its keys, in cents. */
  get ownCents(): number {
    return ((this.bend - BEND_CENTRE) * this.rangeCents) / BEND_CENTRE + this.#fineCents + this.#coarseCents;
  }

  /** Sets one half of the bend range: whole semitones, or the cents beyond them. */
  enterRange(isHigh: boolean, value: number): void {
    const cents = this.rangeCents % 100;
    this.rangeCents = isHigh ? 100 * value + cents : this.rangeCents - cents + Math.min(value, 99);
  }

  /** Sets one half of fine or coarse tuning, or the tuning program. For one-byte values the low half is ignored. */
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
