import { XMLParser } from 'fast-xml-parser';
import { expect, test } from 'vitest';
import { forStrategies } from '../../../src/core/protocol/index.js';
import { addTitle, toPictureTitle } from '../../../src/page/save/picture-title.js';

test('a picture says what it shows, of which piece, in which tuning and when', () => {
  const playing = { title: 'Warm-up', pass: { n: 3, atMs: 0, left: forStrategies(() => 0) } };
  expect(toPictureTitle('Chord', playing, 'equal', new Date(0))).toBe(
    'Chord. Warm-up, pass 3. Heard: 12 equal. Leeway, 1970-01-01',
  );
  expect(toPictureTitle('Lattice', null, 'free', new Date(0))).toBe(
    'Lattice. Heard: free. Leeway, 1970-01-01',
  );
});

test('the title stands under the drawing, which grows by it', () => {
  const svg = '<svg xmlns="x" width="400" height="200" viewBox="-20 -10 40 20"><path d="M0 0"/></svg>';
  const titled = addTitle(svg, 'A & B <C>', '#000', '#fff');
  const read = new XMLParser({ ignoreAttributes: false, attributeNamePrefix: '' }).parse(titled).svg;
  expect(read.height).toBe('226');
  expect(read.viewBox).toBe('-20 -10 40 22.6');
  expect(read.text['#text']).toBe('A & B <C>');
  expect(Number(read.text.y)).toBeGreaterThan(10);
  expect(Number(read.text.y)).toBeLessThan(12.6);
});
