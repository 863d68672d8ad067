import { BEND_CENTRE, CC, ParameterChoice } from '../midi/index.js';
import { toBendCents } from './bend.js';
import type { ChannelState } from './channel-state.js';

/** Bend range of an input that never sent one: the standard's recommendation and General MIDI's default. */
const DEFAULT_RANGE_SEMITONES = 2;

/** What one part's player has set so far: controllers and program in `state`, the wheel, the bend range. */
export class PartInput {
  /** Replayed on the channels that come to carry the part. Several parts may share one state (an MPE zone). */
  readonly state: ChannelState;
  /** Position of the pitch wheel as received, 0..16383. */
  wheel = BEND_CENTRE;
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

  /** The part has become an MPE zone: its manager has the default range. */
  resetBendRange(): void {
    this.#rangeSemitones = DEFAULT_RANGE_SEMITONES;
    this.#rangeCents = 0;
  }

  /** Resets all but pedals. */
  forget(): void {
    this.reset();
    this.resetBendRange();
    this.state.forgetAllButPedals();
  }

  /** Centres the wheel and selects no parameter, as Reset All Controllers asks. */
  reset(): void {
    this.wheel = BEND_CENTRE;
    this.parameter.clear();
  }
}
