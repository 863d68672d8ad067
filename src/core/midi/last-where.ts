/**
 * The last item for which `holds` is true, in a list where it is true up to some place and false from there on; the
 * first item if it is true for none. Halves the list at each step; the list isn't empty.
 *
 * @example lastWhere([0, 10, 20], (start) => start <= 15)  // 10
 */
export function lastWhere<T>(items: readonly T[], holds: (item: T) => boolean): T {
  let low = 0;
  let high = items.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (holds(items[middle])) low = middle;
    else high = middle - 1;
  }
  return items[low];
}
