/** The part that a channel of an input plays: 16 parts an input. @example toPart(1, 9)  // 25 */
export function toPart(inputIndex: number, channel: number): number {
  return 16 * inputIndex + channel;
}

/** The input channel of a part. @example toChannel(25)  // 9 */
export function toChannel(part: number): number {
  return part & 0x0f;
}

/** The index of a part's input in the session's inputs. @example toInputIndex(25)  // 1 */
export function toInputIndex(part: number): number {
  return part >> 4;
}
