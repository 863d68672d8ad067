/**
 * A flat list with room for twice as many numbers, those it has kept in front.
 * @example doubled(Int32Array.of(3, 1))  // [3, 1, 0, 0]
 */
export function doubled<T extends Int32Array | Float64Array>(list: T): T {
  const longer = new (list.constructor as new (length: number) => T)(2 * list.length);
  longer.set(list);
  return longer;
}
