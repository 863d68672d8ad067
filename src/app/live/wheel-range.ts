import { CC, CONTROL_CHANGE } from '../../core/midi/index.js';
import type { Outlet } from '../../core/outlet/index.js';

/** Default bend range of a wheel, in semitones. MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity */
const USUAL_SEMITONES = 2;

/**
 * Sends outlets the range of a part's wheel, as the player's keyboard would: RPN 0, and then no parameter. Nothing if it
 * is the usual one.
 *
 * @example sendWheelRange([], 0, 3, 12)  // undefined: there is no outlet
 */
export function sendWheelRange(
  outlets: readonly { readonly outlet: Pick<Outlet, 'control'> }[],
  atMs: number,
  part: number,
  semitones: number,
): void {
  if (semitones === USUAL_SEMITONES) return;
  for (const { outlet } of outlets)
    for (const [controller, value] of toRangeMessages(semitones, 0))
      outlet.control(atMs, part, CONTROL_CHANGE, controller, value);
}

/**
 * The controllers that tell a bend range, each with its value: RPN 0, and then no parameter.
 * @example toRangeMessages(12, 0)[2]  // [6, 12]
 */
export function toRangeMessages(semitones: number, cents: number): (readonly [number, number])[] {
  return [
    [CC.rpnMsb, 0],
    [CC.rpnLsb, 0],
    [CC.dataEntry, semitones],
    [CC.dataEntryLsb, cents],
    [CC.rpnMsb, 127],
    [CC.rpnLsb, 127],
  ];
}
