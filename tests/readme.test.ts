import { expect, test } from 'vitest';
import { readPlace, writePlace } from './support/document.js';
import { formatErrorCodes, formatOptionsTable, formatSettingsTable } from './support/readme-tables.js';

const README = new URL('../README.md', import.meta.url);
/** `LEEWAY_WRITE_README=1 npm test -- readme` writes the tables anew. */
const write = process.env.LEEWAY_WRITE_README !== undefined;

test.each([
  ['options', formatOptionsTable],
  ['settings', formatSettingsTable],
  ['error codes', formatErrorCodes],
])('the README tells all %s there are', (name, format) => {
  if (write) writePlace(README, name, format());
  expect(readPlace(README, name)).toBe(format());
});
