/** The part that a channel of a split plays: 16 parts a split. @example toPart(1, 9)  // 25 */
export function toPart(splitIndex: number, channel: number): number {
  return 16 * splitIndex + channel;
}

/** The input channel of a part. @example toChannel(25)  // 9 */
export function toChannel(part: number): number {
  return part & 0x0f;
}

/** The index of a part's split in the session's splits. @example toSplitIndex(25)  // 1 */
export function toSplitIndex(part: number): number {
  return part >> 4;
}
