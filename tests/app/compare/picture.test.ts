import { expect, test } from 'vitest';
import { PICTURE, toComparisonSvg } from '../../../src/app/compare/picture.js';
import { escapeText } from '../../../src/core/drawing/index.js';
import { comparison } from '../../support/warm-up.js';

test('the picture of a comparison needs no other file, draws each version in its own pen, and escapes its title', () => {
  const svg = toComparisonSvg('<b>"Warm & up"', comparison);
  expect(svg).toContain(`viewBox="0 0 ${PICTURE.width} ${PICTURE.height}"`);
  expect(svg).toContain(escapeText('<b>"Warm & up"'));
  expect(svg).not.toContain('<b>');
  expect(svg).not.toContain('NaN');
  expect(svg).not.toMatch(/https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
  const pens = [...svg.matchAll(/<path ([^>]*)\/>/g)].map(([, attributes]) => ({
    colour: /stroke="(#\w+)"/.exec(attributes)?.[1],
    dash: /stroke-dasharray="([^"]*)"/.exec(attributes)?.[1],
  }));
  // Six on two sheets, and five where the offset is drawn.
  expect(pens).toHaveLength(17);
  expect(new Set(pens.map(({ colour }) => colour)).size).toBe(6);
  expect(new Set(pens.map(({ dash }) => dash)).size).toBe(6);
});
