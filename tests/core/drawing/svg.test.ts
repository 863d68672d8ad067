import { Resvg } from '@resvg/resvg-js';
import fc from 'fast-check';
import { XMLValidator } from 'fast-xml-parser';
import { describe, expect, test } from 'vitest';
import {
  escapeText,
  formatDrawing,
  formatShapes,
  type Shape,
  shift,
  write,
} from '../../../src/core/drawing/index.js';
import { forAll } from '../../support/properties.js';

const SHAPES: readonly Shape[] = [
  write(1, 2, 'C⁰', { size: 15, fill: '#111', bold: true, italic: true, anchor: 'middle' }),
  { kind: 'line', from: [0, 0.04], to: [9, 0], stroke: '#111', thick: 2, dash: '2 4' },
  { kind: 'path', steps: [['M', 0, 0], ['L', 4, 5.55], ['Z']], stroke: '#111', fill: '#eee' },
  { kind: 'box', x: 1, y: 2, width: 3, height: 4, fill: '#fff', round: 2, stroke: '#111' },
  { kind: 'oval', x: 1, y: 2, radiusX: 3, radiusY: 4, fill: 'none' },
];

describe('shapes as SVG', () => {
  test('are one element each, with attributes alone', () => {
    expect(formatShapes(SHAPES)).toEqual([
      '<text x="1" y="2" font-size="15" fill="#111" font-weight="bold" font-style="italic" text-anchor="middle">C⁰</text>',
      '<line x1="0" y1="0" x2="9" y2="0" stroke="#111" stroke-width="2" stroke-dasharray="2 4"/>',
      '<path d="M0 0L4 5.6Z" fill="#eee" stroke="#111"/>',
      '<rect x="1" y="2" width="3" height="4" rx="2" fill="#fff" stroke="#111"/>',
      '<ellipse cx="1" cy="2" rx="3" ry="4" fill="none"/>',
    ]);
  });

  test('are the same elsewhere when they are shifted', () => {
    expect(formatShapes(SHAPES.map((shape) => shift(shape, 10, 20)))).toEqual([
      '<text x="11" y="22" font-size="15" fill="#111" font-weight="bold" font-style="italic" text-anchor="middle">C⁰</text>',
      '<line x1="10" y1="20" x2="19" y2="20" stroke="#111" stroke-width="2" stroke-dasharray="2 4"/>',
      '<path d="M10 20L14 25.6Z" fill="#eee" stroke="#111"/>',
      '<rect x="11" y="22" width="3" height="4" rx="2" fill="#fff" stroke="#111"/>',
      '<ellipse cx="11" cy="22" rx="3" ry="4" fill="none"/>',
    ]);
  });

  test('an SVG document is well formed whatever its title says', () => {
    forAll([fc.string({ unit: 'binary', maxLength: 40 })], (title) => {
      const svg = formatDrawing(
        { width: 10, height: 10, shapes: [write(0, 0, title, { size: 9, fill: '#000' })] },
        title,
      );
      expect(XMLValidator.validate(svg)).toBe(true);
      // A strict reader: it throws on what isn't well formed. Without fonts, since with some it breaks down over some
      // letters (see `io/picture`), and takes this process with it.
      expect(new Resvg(svg, { font: { loadSystemFonts: false } }).width).toBe(10);
      // biome-ignore lint/suspicious/noControlCharactersInRegex: XML forbids them
      expect(svg).not.toMatch(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/);
    });
    expect(escapeText('a<b>&"c"\u0000\ud800')).toBe('a&lt;b&gt;&amp;&quot;c&quot;\ufffd\ufffd');
    expect(escapeText('𝄞')).toBe('𝄞');
  });
});
