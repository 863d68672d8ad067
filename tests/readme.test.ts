import { statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { readPlace, writePlace } from './support/document.js';
import { listDocuments, listLost } from './support/readme-paths.js';
import { formatOptionsTable } from './support/readme-tables.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const README = join(ROOT, 'README.md');
/** `LEEWAY_WRITE_README=1 npm test -- readme` writes the table anew. */
const write = process.env.LEEWAY_WRITE_README !== undefined;

test('the README lists every setting that is an option, as the table of settings has it', () => {
  if (write) writePlace(README, 'options', formatOptionsTable());
  expect(readPlace(README, 'options')).toBe(formatOptionsTable());
});

test.each([
  ['README.md', 20],
  ['DEVELOPERS.md', 12],
])('the document %s has at most %i kB', (name, most) => {
  expect(statSync(join(ROOT, name)).size).toBeLessThanOrEqual(most * 1000);
});

test.each(listDocuments(ROOT))('every file that %s names exists', (name) => {
  expect(listLost(ROOT, name)).toEqual([]);
});
