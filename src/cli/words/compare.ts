import type { ComparisonDone } from '../../app/compare/write-comparison.js';
import { formatComma } from '../../core/theory/index.js';
import { count, formatSigned } from './numbers.js';

/** What came of `leeway compare`: a row of figures each version, and where everything went. */
export function formatComparison(
  input: string,
  folder: string,
  { comparison, written }: ComparisonDone,
): string[] {
  const heads = ['', 'pure', 'beats of thirds', 'came back elsewhere', 'travelled', 'end from home', 'drift'];
  const rows = comparison.versions.map(({ title, figures, ending }) => [
    title,
    `${figures.purePercent.toFixed(1)} %`,
    formatBeats(figures.beats['major third']),
    `${figures.shiftedPercent.toFixed(1)} %`,
    `${figures.travelCents.toFixed(0)} c`,
    ending === undefined ? '' : `${formatSigned(ending.fromHomeCents)} c`,
    ending === undefined ? '' : formatComma(ending.drift) || 'none',
  ]);
  const widths = heads.map((head, i) => Math.max(head.length, ...rows.map((row) => row[i].length)));
  const line = (cells: readonly string[]) =>
    `  ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  ')}`.trimEnd();
  return [
    `${input} → ${folder}`,
    line(heads),
    ...rows.map(line),
    `  ${count(written.length, 'file')}: ${written.join(', ')}`,
  ];
}

function formatBeats(beats: number | null): string {
  return beats === null ? '' : `${beats.toFixed(2)} a second`;
}
