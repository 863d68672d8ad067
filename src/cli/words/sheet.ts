import { formatPaper } from '../../app/sheet/sheet-style.js';
import type { SheetDone } from '../../app/sheet/write-sheet.js';
import { count } from './numbers.js';

/**
 * What was written of a sheet.
 * @example pump.mid → pump.html, and below it: 5 chords in 1 system
 */
export function formatSheet(
  name: string,
  path: string,
  { kind, chords, systems, paper }: SheetDone,
): string[] {
  const next =
    kind === 'html'
      ? `open it in a browser and print it on ${formatPaper(paper)}`
      : 'put it on a slide, or open it in a browser';
  return [`${name} → ${path}`, `  ${count(chords, 'chord')} in ${count(systems, 'system')}; ${next}`];
}
