import { expect, test } from 'vitest';
import { readPlace, writePlace } from './support/document.js';
import { formatOptionsTable } from './support/readme-tables.js';

const README = new URL('../README.md', import.meta.url);
/** `LEEWAY_WRITE_README=1 npm test -- readme` writes the tables anew. */
const write = process.env.LEEWAY_WRITE_README !== undefined;

test('the README lists every setting that is an option, as the table of settings has it', () => {
  if (write) writePlace(README, 'options', formatOptionsTable());
  expect(readPlace(README, 'options')).toBe(formatOptionsTable());
});
