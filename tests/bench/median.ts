/** The middle of some figures, or the mean of the two in the middle. @example toMedian([3, 1, 2])  // 2 */
export function toMedian(figures: readonly number[]): number {
  const sorted = [...figures].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
