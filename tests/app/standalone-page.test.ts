import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { toStandalonePage } from '../../src/app/standalone-page.js';

const hash = (text: string) => `sha256-${createHash('sha256').update(text).digest('base64')}`;
const policyOf = (page: string) => /Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1];

const style = 'p { margin: 0 }';
const script = 'document.title += "!";';

test('a standalone page loads nothing, and runs only its own script, known by its hash', () => {
  const plain = toStandalonePage({ title: 'A', style, body: '<p>Pure.</p>' });
  expect(policyOf(plain)).toBe(`default-src 'none'; style-src '${hash(style)}'`);
  expect(plain).not.toContain('<script');
  const full = toStandalonePage({ title: 'A', style, script, body: '<p>Pure.</p>', hasPictures: true });
  expect(policyOf(full)).toBe(
    `default-src 'none'; script-src '${hash(script)}'; style-src '${hash(style)}'; img-src data:`,
  );
  expect(full.indexOf(`<script>${script}</script>`)).toBeGreaterThan(full.indexOf('<p>Pure.</p>'));
});

test('a standalone page has style and script as they were hashed, and escapes its title', () => {
  const page = toStandalonePage({ title: '</title><b>', style, script, body: '' });
  expect(page).toContain(`<style>${style}</style>`);
  expect(page).toContain('<title>&lt;/title&gt;&lt;b&gt;</title>');
});
