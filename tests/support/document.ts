import { readFileSync, writeFileSync } from 'node:fs';

/** What stands in a document between the comments `NAME: made by …` and `end of NAME`; undefined without them. */
export function readPlace(path: string | URL, name: string): string | undefined {
  return cut(path, name)?.inside;
}

/** Puts a text between those comments. @throws Error if the document hasn't got them */
export function writePlace(path: string | URL, name: string, text: string): void {
  const parts = cut(path, name);
  if (parts === undefined) throw new Error(`${path} has no place for the ${name}.`);
  writeFileSync(path, parts.before + text + parts.after);
}

function cut(
  path: string | URL,
  name: string,
): { before: string; inside: string; after: string } | undefined {
  const document = readFileSync(path, 'utf8');
  const [head, tail] = [`<!-- ${name}: made by `, `\n\n<!-- end of ${name} -->`];
  const [at, to] = [document.indexOf(head), document.indexOf(tail)];
  const from = document.indexOf(' -->\n\n', at) + ' -->\n\n'.length;
  if (at < 0 || to < from) return undefined;
  return { before: document.slice(0, from), inside: document.slice(from, to), after: document.slice(to) };
}
