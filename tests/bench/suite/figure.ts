/** Something a part of the suite has measured. */
export interface Figure {
  /** Stable, for the baseline: `codec/read`. */
  readonly id: string;
  readonly what: string;
  readonly value: number;
  readonly unit: '×' | 'µs' | 'ms' | 'MB' | 'MiB/s';
  /** What it may be at most, by the design; `undefined`: nothing is asked. */
  readonly budget?: number;
  /** Whether twice the baseline is too much. Ratios of one run are held to that; times belong to the machine. */
  readonly isGated: boolean;
}

/** A figure that is held to its baseline. */
export function ratio(id: string, what: string, value: number, budget?: number): Figure {
  return { id, what, value, unit: '×', isGated: true, ...(budget === undefined ? {} : { budget }) };
}

/** A figure that belongs to the machine. */
export function amount(
  id: string,
  what: string,
  value: number,
  unit: Figure['unit'],
  budget?: number,
): Figure {
  return { id, what, value, unit, isGated: false, ...(budget === undefined ? {} : { budget }) };
}

/** Says what a part has measured to whoever started it. */
export function tellFigures(figures: readonly Figure[]): void {
  console.log(JSON.stringify(figures));
}
