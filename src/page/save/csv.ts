import { type EntryFact, forStrategies } from '../../core/protocol/index.js';
import type { DriftLine, SessionHistory } from '../state/session-history.js';

const COLUMNS = [
  'seconds',
  'what',
  'strategy',
  'pass',
  'note',
  'ratio',
  'comma',
  'cents',
  'free',
  'pull',
  'anchored',
  'temper',
  'text',
] as const;
type Row = Partial<Record<(typeof COLUMNS)[number], string | number | null>> & { readonly seconds: number };

/**
 * The session as a table in order of time: the drift curves (`what` is drift; in cents under each strategy),
 * the chords, and the ledger. Fields as in RFC 4180.
 */
export function toCsv(
  log: Pick<SessionHistory, 'seconds' | DriftLine | 'chords'>,
  entries: readonly EntryFact[],
): string {
  const rows: Row[] = [
    ...log.seconds.map((seconds, i) => ({
      seconds,
      what: 'drift',
      ...forStrategies((line) => log[line][i]),
    })),
    ...log.chords.map(({ atMs, names, proportion }) => ({
      seconds: atMs / 1000,
      what: 'chord',
      note: names,
      ratio: proportion,
    })),
    ...entries.map(toRow),
  ];
  rows.sort((a, b) => a.seconds - b.seconds);
  const lines = rows.map((row) => COLUMNS.map((column) => toField(row[column])).join(','));
  return `${[COLUMNS.join(','), ...lines].join('\r\n')}\r\n`;
}

function toRow(entry: EntryFact): Row {
  const { strategy, pass, kind: what, cents } = entry;
  const row = { seconds: entry.atMs / 1000, what, strategy, pass, cents };
  switch (entry.kind) {
    case 'return':
      return {
        ...row,
        note: entry.name,
        ratio: entry.ratio,
        comma: entry.comma,
        text: `${entry.now} instead of ${entry.was}`,
      };
    case 'drift':
      return { ...row, note: entry.name, ratio: entry.ratio, comma: entry.comma, text: entry.by };
    case 'offset':
      return { ...row, text: `${entry.cause}: ${entry.struck} struck, ${entry.tied} tied, ${entry.held}` };
    case 'impurity':
      return { ...row, note: entry.name, text: `${entry.centSeconds} cent-seconds` };
  }
}

function toField(value: string | number | null | undefined): string {
  if (value === null || value === undefined) return '';
  const text = typeof value === 'number' ? String(Math.round(value * 1000) / 1000) : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
