import { expect, test } from 'vitest';
import {
  formatErrorCodes,
  formatSettingsTable,
  readFromReadme,
  writeToReadme,
} from './support/readme-tables.js';

/** `LEEWAY_WRITE_README=1 npm test -- readme` writes the tables anew. */
const write = process.env.LEEWAY_WRITE_README !== undefined;

test.each([
  ['settings', formatSettingsTable],
  ['error codes', formatErrorCodes],
])('the README tells all %s there are', (name, format) => {
  if (write) writeToReadme(name, format());
  expect(readFromReadme(name)).toBe(format());
});
