/** To a thousandth: of a cent nobody hears it, and the text stays short. Never -0. @example toThousandth(-13.68628)  // -13.686 */
export function toThousandth(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}

/** A text cut to a bound, with a mark where it was. @example toLength('abcdef', 4)  // 'abc…' */
export function toLength(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1)}…`;
}
