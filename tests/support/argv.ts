/** A command line by its words; what is put in stays whole. @example toArgv`retune ${path} --limit 7` */
export function toArgv(texts: TemplateStringsArray, ...values: readonly string[]): string[] {
  const words = texts.map((text) => text.split(' ').filter((word) => word !== ''));
  return words.flatMap((some, i) => (i < values.length ? [...some, values[i]] : some));
}
