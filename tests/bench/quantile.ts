/** The value below which a share of all values lies. @example quantile([3, 1, 2], 0.5)  // 2 */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
