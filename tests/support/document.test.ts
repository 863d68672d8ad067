import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readPlace, writePlace } from './document.js';
import { useTemporaryFolder } from './temporary-folder.js';

const folder = useTemporaryFolder();

const TEXT =
  'a\n\n<!-- one: made by a -->\n\n1\n\n<!-- end of one -->\n\n<!-- two: made by b c -->\n\n2\n\n<!-- end of two -->\n\nb\n';

test('writing a place of a document changes its text, and nothing around it', () => {
  const path = join(folder(), 'document.md');
  writeFileSync(path, TEXT);
  expect([readPlace(path, 'one'), readPlace(path, 'two')]).toEqual(['1', '2']);
  writePlace(path, 'two', '3\n\n4');
  expect([readPlace(path, 'one'), readPlace(path, 'two')]).toEqual(['1', '3\n\n4']);
  expect(readFileSync(path, 'utf8')).toBe(TEXT.replace('2', '3\n\n4'));
});

test('a document without the place stays unchanged', () => {
  const path = join(folder(), 'document.md');
  for (const text of [TEXT, TEXT.replaceAll('<!-- end of one -->', ''), '']) {
    writeFileSync(path, text);
    expect(readPlace(path, 'three')).toBeUndefined();
    expect(() => writePlace(path, 'three', '5')).toThrow(`${path} has no place for the three.`);
    expect(readFileSync(path, 'utf8')).toBe(text);
  }
});
