/**
 * Numbers in a row, neighbours as a range.
 * @example formatNumbers([1, 4, 5, 6, 9])  // '1, 4–6, 9'
 */
export function formatNumbers(numbers: readonly number[]): string {
  const ranges: [number, number][] = [];
  for (const number of numbers) {
    const last = ranges.at(-1);
    if (last !== undefined && last[1] === number - 1) last[1] = number;
    else ranges.push([number, number]);
  }
  return ranges.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(', ');
}
