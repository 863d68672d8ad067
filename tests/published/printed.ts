import { expect } from 'vitest';

/** Ratios and their cents as one source prints them. */
export interface PrintedTable {
  readonly source: string;
  readonly rows: readonly (readonly [string, string])[];
}

/**
 * That `value` rounds to what was printed: half a unit of the last printed decimal. One decimal gets a whole
 * unit, because Partch's column of one decimal cuts instead of rounding (33/32 is printed 53.2, true 53.273).
 */
export function expectPrinted(value: number, printed: string): void {
  const decimals = printed.split('.')[1]?.length ?? 0;
  const tolerance = (decimals === 1 ? 1 : 0.5) * 10 ** -decimals + 1e-9;
  expect(Math.abs(value - Number(printed)), `${value} against the printed ${printed}`).toBeLessThanOrEqual(tolerance);
}
