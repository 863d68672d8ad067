/** Key class 0..11 of any whole number of keys. @example toKeyClass(-1) // 11 */
export function toKeyClass(keys: number): number {
  return ((keys % 12) + 12) % 12;
}

/** Interval class 0..6 of any whole number of keys: inversions are one. @example toIntervalClass(8) // 4 */
export function toIntervalClass(keys: number): number {
  const keyClass = toKeyClass(keys);
  return keyClass > 6 ? 12 - keyClass : keyClass;
}
