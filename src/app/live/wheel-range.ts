import { CC } from '../../core/midi/index.js';

/** Default bend range of a wheel, in semitones. MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity */
export const USUAL_WHEEL_SEMITONES = 2;

/**
 * RPN 0 as a player's keyboard would send it, and then no parameter.
 * @example toWheelRange(12)[2]  // [6, 12]: data entry, twelve semitones
 */
export function toWheelRange(semitones: number): readonly (readonly [controller: number, value: number])[] {
  return [
    [CC.rpnMsb, 0],
    [CC.rpnLsb, 0],
    [CC.dataEntry, semitones],
    [CC.dataEntryLsb, 0],
    [CC.rpnMsb, 127],
    [CC.rpnLsb, 127],
  ];
}
