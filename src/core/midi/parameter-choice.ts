import { CC, RPN } from './controllers.js';

/**
 * Flag in the number of a parameter that isn't registered: registered parameters are 0..0x3fff, the others
 * 0x4000..0x7fff.
 */
export const NON_REGISTERED = 0x4000;

/**
 * The parameter selected for the data entry of a channel, as its number arrives half by half. Each kind stores its
 * halves: a single half changes the number last chosen of that kind.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Registered and Non-Registered Parameter Numbers
 * @example
 * const choice = new ParameterChoice();
 * choice.take(CC.rpnMsb, 0);
 * choice.take(CC.rpnLsb, 1);
 * choice.selected  // 1: RPN.fineTuning
 */
export class ParameterChoice {
  /** A registered parameter's number, another's with {@link NON_REGISTERED} set, or `RPN.none` for none of either kind. */
  selected: number = RPN.none;
  #registered: number = RPN.none;
  #other: number = RPN.none;

  /** Takes half of a number: CC 98 or 99, 100 or 101. Both halves 127 select none. */
  take(controller: number, value: number): void {
    if (controller === CC.rpnMsb) this.#registered = (value << 7) | (this.#registered & 0x7f);
    else if (controller === CC.rpnLsb) this.#registered = (this.#registered & 0x3f80) | value;
    else if (controller === CC.nrpnMsb) this.#other = (value << 7) | (this.#other & 0x7f);
    else this.#other = (this.#other & 0x3f80) | value;
    const registered = controller === CC.rpnMsb || controller === CC.rpnLsb;
    const chosen = registered ? this.#registered : this.#other;
    this.selected = registered || chosen === RPN.none ? chosen : chosen | NON_REGISTERED;
  }

  /** Selects none, as Reset All Controllers asks. */
  clear(): void {
    this.selected = RPN.none;
    this.#registered = RPN.none;
    this.#other = RPN.none;
  }
}
