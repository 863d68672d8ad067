/** Rows of numbers, with a comma between. @example numbers('0x91 60 90, 0xd1 0') // [[0x91, 60, 90], [0xd1, 0]] */
export function numbers<Row extends readonly number[] = number[]>(text: string): Row[] {
  return text.split(/,\s+/).map((row) => row.split(' ').map(Number) as readonly number[] as Row);
}
