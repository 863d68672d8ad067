import { HOLDING_PEDALS } from '../midi/index.js';

/**
 * The pedals of parts that share a channel. One pedal there stands for theirs, so it is down for as long as any of them
 * is: else one player's foot coming up would end what another's holds.
 */
export class SharedPedals {
  /** For each pedal where the parts' own stand, by part; 0 where it was never moved. */
  readonly #stand: readonly number[][] = HOLDING_PEDALS.map(() => []);

  /**
   * A part sets a controller.
   * @returns what that comes to on the channel: 0..127, the part's own value for all but pedals that hold notes
   * @example
   * pedals.set(0, CC.sustain, 127);
   * pedals.set(1, CC.sustain, 0)     // 127: part 0's is still down
   */
  set(part: number, controller: number, value: number): number {
    const index = HOLDING_PEDALS.indexOf(controller);
    if (index < 0) return value;
    const stand = this.#stand[index];
    while (stand.length <= part) stand.push(0);
    stand[part] = value;
    return Math.max(...stand);
  }
}
