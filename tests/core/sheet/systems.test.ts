import { describe, expect, test } from 'vitest';
import { toStaffY } from '../../../src/core/sheet/column-layout.js';
import { toLedgers } from '../../../src/core/sheet/draw-staff.js';
import { SHEET_WIDTH } from '../../../src/core/sheet/pen.js';
import { toSystems } from '../../../src/core/sheet/systems.js';
import { type BuiltNote, PUMP } from '../../support/build-midi.js';
import { passageOf } from '../../support/passages.js';

describe('systems', () => {
  test('are one for the pump', () => {
    const systems = toSystems(passageOf(PUMP, { strategy: 'free' }));
    expect(systems.map(({ columns }) => columns.length)).toEqual([5]);
  });

  test('of a long passage are about equally wide, with every chord once', () => {
    const notes = Array.from({ length: 33 }, (_, i): BuiltNote[] => [
      [i, i + 1, 48],
      [i, i + 1, 60 + (i % 5)],
      [i, i + 1, 67],
    ]).flat();
    const systems = toSystems(passageOf(notes, { strategy: 'free' }));
    const numbers = systems.flatMap(({ columns }) => columns.map(({ layout }) => layout.column.number));
    expect(numbers).toEqual(Array.from({ length: 33 }, (_, i) => i + 1));
    expect(systems.length).toBeGreaterThan(4);
    for (const { width, columns } of systems) {
      expect(width).toBeLessThanOrEqual(SHEET_WIDTH * 1.18);
      let end = 0;
      for (const { layout, x } of columns) {
        expect(x).toBeGreaterThanOrEqual(end);
        end = x + layout.width;
      }
      expect(end).toBeLessThanOrEqual(width + 1e-6);
    }
    // None is left over with a chord alone.
    expect(systems.at(-1)?.columns.length ?? 0).toBeGreaterThan(1);
  });

  test('have only the staves that they need', () => {
    const clefs = (keys: readonly number[]) =>
      toSystems(
        passageOf(
          keys.map((key): BuiltNote => [0, 4, key]),
          {},
        ),
      )[0].staves.map(({ clef }) => clef);
    expect(clefs([60, 64, 67])).toEqual(['treble']);
    expect(clefs([36, 43])).toEqual(['bass']);
    expect(clefs([48, 64])).toEqual(['treble', 'bass']);
  });
});

describe('the staff', () => {
  const treble = { clef: 'treble', lowest: 30 } as const;
  const bass = { clef: 'bass', lowest: 18 } as const;

  test('has the lines E G B D F and G B D F A, each a space apart', () => {
    // Steps count from C0: E4 is 4 · 7 + 2.
    expect([30, 32, 34, 36, 38].map((step) => 'CDEFGAB'[step % 7]).join('')).toBe('EGBDF');
    expect([18, 20, 22, 24, 26].map((step) => 'CDEFGAB'[step % 7]).join('')).toBe('GBDFA');
    expect(toStaffY(30) - toStaffY(32)).toBe(16);
    expect(toStaffY(18) - toStaffY(20)).toBe(16);
    expect(toStaffY(28)).toBe(0);
    // Two staves, not eleven lines: between them is more room than their notes alone would ask for.
    expect(toStaffY(26) - toStaffY(30)).toBeGreaterThan(4 * 8);
  });

  test.each([
    [28, [treble, bass], [28]],
    [28, [bass], [28]],
    [29, [treble, bass], []],
    [27, [treble, bass], []],
    [34, [treble, bass], []],
    [41, [treble, bass], [40]],
    [42, [treble], [40, 42]],
    [14, [treble, bass], [16, 14]],
  ])('has ledger lines for a head on step %i', (step, staves, lines) => {
    expect(toLedgers(step, staves)).toEqual(lines);
  });
});
