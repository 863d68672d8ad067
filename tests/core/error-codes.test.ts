import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { ERROR_CODES } from '../../src/core/error-codes.js';

const SOURCES = fileURLToPath(new URL('../../src/', import.meta.url));

/** The sources without the list of codes, and without comments. */
function readSources(): string {
  const names = readdirSync(SOURCES, { recursive: true, encoding: 'utf8' });
  const own = names.filter((name) => name.endsWith('.ts') && !name.endsWith('error-codes.ts'));
  const texts = own.map((name) => readFileSync(join(SOURCES, name), 'utf8'));
  return texts.join('\n').replaceAll(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, '');
}

test('every error code is in use', () => {
  const sources = readSources();
  expect(Object.keys(ERROR_CODES).filter((code) => !sources.includes(`'${code}'`))).toEqual([]);
});

test('error codes are upper case and in order, and their meanings are one plain clause', () => {
  const codes = Object.keys(ERROR_CODES);
  expect(codes.filter((code) => !/^[A-Z][A-Z0-9]*(_[A-Z0-9]+)*$/.test(code))).toEqual([]);
  expect(codes).toEqual([...codes].sort());
  expect(Object.values(ERROR_CODES).filter((meaning) => !/^\S.{5,90}[^.\s]$/.test(meaning))).toEqual([]);
  expect(new Set(Object.values(ERROR_CODES)).size).toBe(codes.length);
});
