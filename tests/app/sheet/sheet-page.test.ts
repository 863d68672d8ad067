import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { toSheetPage } from '../../../src/app/sheet/sheet-page.js';
import { DEFAULT_PAPER, type SheetPaper } from '../../../src/app/sheet/sheet-style.js';
import { PUMP } from '../../support/build-midi.js';
import { passageOf } from '../../support/passages.js';

const passage = passageOf(PUMP, { strategy: 'free' });
const page = toSheetPage('<pump>', [{ passage, heads: { title: '<pump>', lines: ['bars 1 to 5'] } }]);

describe('the page of a sheet', () => {
  test('needs no other file: it has no script, no address, and one style under its own hash', () => {
    expect(page).not.toMatch(/<script|<link|<img|src=|@import|url\(|javascript:| style=/);
    expect(page.match(/https?:\/\/[^"]*/g)?.every((url) => url === 'http://www.w3.org/2000/svg')).toBe(true);
    const style = /<style>([\s\S]*?)<\/style>/.exec(page)?.[1] ?? '';
    const hash = createHash('sha256').update(style).digest('base64');
    expect(page).toContain(`content="default-src 'none'; style-src 'sha256-${hash}'"`);
    expect(style).toContain('size: A4 landscape');
  });

  test('escapes its title', () => {
    expect(page).toContain('<h1>&lt;pump&gt;</h1>');
    expect(page).not.toContain('<pump>');
  });

  test('has a table with every note of every chord', () => {
    const table = /<table>[\s\S]*<\/table>/.exec(page)?.[0] ?? '';
    const rows = [...table.matchAll(/<td>(.*?)<\/td>/g)].map(([, cell]) => cell);
    const notes = passage.columns.flatMap((column) => column.notes.toReversed());
    expect(rows).toHaveLength(6 * notes.length);
    expect(notes.map((_, i) => rows.slice(6 * i, 6 * i + 3))).toEqual(
      notes.map(({ name, toBass, toHome }) => [name, toBass, toHome]),
    );
    expect(rows).toContain('a just fourth above E4⁻¹, held');
    expect(table).toContain('5: bar 5, beat 1; drift 80/81, −21.5 c from home');
  });

  test.each<[SheetPaper, string, number]>([
    [DEFAULT_PAPER, '@page { size: A4 landscape; margin: 10mm; }', 1],
    [{ size: 'a4', isPortrait: true }, '@page { size: A4 portrait; margin: 10mm; }', 2],
    [{ size: 'letter', isPortrait: false }, '@page { size: letter landscape; margin: 10mm; }', 1],
    [{ size: 'letter', isPortrait: true }, '@page { size: letter portrait; margin: 10mm; }', 2],
  ])("a sheet's page is laid out for its paper: %o", (paper, rule, systems) => {
    const its = toSheetPage('pump', [{ passage, heads: { title: 'pump', lines: [] } }], paper);
    expect(its).toContain(rule);
    expect(its.match(/@page/g)).toHaveLength(1);
    expect(its.match(/ on staves; told in the table/g)).toHaveLength(systems);
    // The legend is there once, whatever stands beside it.
    expect(its.match(/What the signs mean/g)).toHaveLength(1);
  });
});
