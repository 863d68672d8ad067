import { BEND_CENTRE, CC, ParameterChoice } from '../midi/index.js';
import { toBendCents } from './bend.js';
import type { ChannelState } from './channel-state.js';

/** Bend range of an input that never said: the standard's recommendation and General MIDI's default. */
const DEFAULT_RANGE_SEMITONES = 2;

/** What one part's player has set so far: its controllers and program in `state`, its wheel, its bend range. */
export class PartInput {
  /** To be replayed on the channels that come to carry the part. Several parts may set the same state (an MPE zone). */
  readonly state: ChannelState;
  /** Position of the pitch wheel as it came, 0..16383. */
  wheel = BEND_CENTRE;
  /** The parameter the part's data entry means. */
  readonly parameter = new ParameterChoice();
  #rangeSemitones = DEFAULT_RANGE_SEMITONES;
  #rangeCents = 0;

  constructor(state: ChannelState) {
    this.state = state;
  }

  /**
   * What the player's wheel adds to every note of the part, in cents, under the range the input announced by RPN 0.
   * @example
   * const input = new PartInput(new ChannelState());
   * input.wheel = 12288;
   * input.bendCents()  // 100, at a range of 2 semitones
   */
  bendCents(): number {
    return toBendCents(this.wheel, this.#rangeSemitones + this.#rangeCents / 100);
  }

  /**
   * The input's own bend range changed: `controller` is CC 6 for semitones, CC 38 for cents.
   * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity
   */
  setBendRange(controller: number, value: number): void {
    if (controller === CC.dataEntry) this.#rangeSemitones = value;
    else if (controller === CC.dataEntryLsb) this.#rangeCents = value;
  }

  /** As before anything was set, but for pedals. */
  forget(): void {
    this.reset();
    this.#rangeSemitones = DEFAULT_RANGE_SEMITONES;
    this.#rangeCents = 0;
    this.state.forgetAllButPedals();
  }

  /** The wheel goes to the middle and no parameter is chosen, as Reset All Controllers asks. */
  reset(): void {
    this.wheel = BEND_CENTRE;
    this.parameter.clear();
  }
}
