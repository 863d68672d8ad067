/** The place of a key, in widths of a natural from the left end. */
export interface KeyPlace {
  readonly key: number;
  readonly isNatural: boolean;
  readonly left: number;
  readonly width: number;
}

const NATURALS = [0, 2, 4, 5, 7, 9, 11];
/** Width of the keys between, in naturals. */
const BETWEEN_WIDTH = 0.62;

/** Whether a key is a natural. @example isNatural(61)  // false */
export function isNatural(key: number): boolean {
  return NATURALS.includes(key % 12);
}

/** Keys from `lowest` to `highest`, both naturals: naturals side by side, the others across their joints. */
export function layOutKeys(lowest: number, highest: number): { keys: KeyPlace[]; width: number } {
  const keys: KeyPlace[] = [];
  let width = 0;
  for (let key = lowest; key <= highest; key++) {
    if (isNatural(key)) keys.push({ key, isNatural: true, left: width++, width: 1 });
    else keys.push({ key, isNatural: false, left: width - BETWEEN_WIDTH / 2, width: BETWEEN_WIDTH });
  }
  return { keys, width };
}
