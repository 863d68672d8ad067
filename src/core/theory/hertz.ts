/** The frequency of a pitch on the scale of MIDI keys, in cents. @example toHertz(6900)  // 440 */
export function toHertz(cents: number): number {
  return 440 * 2 ** ((cents - 6900) / 1200);
}
