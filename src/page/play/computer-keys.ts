/** A key of the computer's keyboard and the key it plays, counted from the lowest C shown. */
export interface ComputerKey {
  /** Its position on the keyboard, whatever is printed on it. */
  readonly code: string;
  /** Its usual label, for the legend. */
  readonly print: string;
  readonly offset: number;
}

const codeOf = (print: string) => {
  const named: Record<string, string> = { ',': 'Comma', '.': 'Period', '/': 'Slash', ';': 'Semicolon' };
  return named[print] ?? (/\d/.test(print) ? `Digit${print}` : `Key${print}`);
};
const rowOf = (prints: string, first: number): ComputerKey[] =>
  [...prints].map((print, i) => ({ code: codeOf(print), print, offset: first + i }));

/** Two rows of the computer's keyboard as two octaves: letters below for naturals, the row above them for the rest. */
export const COMPUTER_KEYS: readonly ComputerKey[] = [
  ...rowOf('ZSXDCVGBHNJM', 0),
  ...rowOf('Q2W3ER5T6Y7UI9O0P', 12),
];

const byCode = new Map(COMPUTER_KEYS.map((key) => [key.code, key]));
const byOffset = new Map(COMPUTER_KEYS.map((key) => [key.offset, key]));

/** The distance of a computer key from the lowest C, in keys, or undefined. @example toOffset('KeyC')  // 4 */
export function toOffset(code: string): number | undefined {
  return byCode.get(code)?.offset;
}

/**
 * The label of the computer key that plays `offset`, or nothing.
 *
 * @param layout what the reader's own keyboard has printed on each key, where the browser tells
 * @example toPrint(4)  // 'C'
 */
export function toPrint(offset: number, layout?: ReadonlyMap<string, string>): string {
  const key = byOffset.get(offset);
  if (key === undefined) return '';
  return layout?.get(key.code)?.toUpperCase() ?? key.print;
}
