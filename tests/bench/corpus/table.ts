import type { Figures } from './measure.js';

const HEAD = [
  ...'corpus | rule | pure % | shifted % | worth | > 5 c % | shift rms | moved rms'.split(' | '),
  ...'home rms | farthest | spelled % | open % | avoidable % | avoidable wolf % | impure strikes % | bytes/note'.split(
    ' | ',
  ),
];

/** The head of a table of figures, as Markdown. */
export function formatHead(): string[] {
  const columns = HEAD.slice(2).map(() => '--:');
  return [`| ${HEAD.join(' | ')} |`, `|---|---|${columns.join('|')}|`];
}

/** One rule on one corpus, as a row of it. */
export function formatRow(title: string, label: string, f: Figures): string {
  const cells = [
    f.pure,
    f.shifted,
    f.worth,
    f.shiftedFar,
    f.shiftRms,
    f.movedRms,
    f.homeRms,
    f.farthest,
    f.spelled,
    f.strikes.open,
    f.strikes.avoidable,
    f.strikes.avoidableWolf,
    f.strikes.impure,
  ];
  const shown = cells.map((value) => (Number.isNaN(value) ? '' : value.toFixed(2)));
  const bytes = f.wireBytesPerNote === 0 ? '' : f.wireBytesPerNote.toFixed(1);
  return `| ${title} | ${label} | ${shown.join(' | ')} | ${bytes} |`;
}
