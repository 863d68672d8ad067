import type { Colors } from 'picocolors/types.js';
import { type Explanation, findReturned, type PlacedMoment } from '../../app/explain.js';
import type { MomentNote } from '../../core/score/index.js';
import { toReportedSettings } from '../../core/settings/index.js';
import { divide, formatComma, spellKey } from '../../core/theory/index.js';
import type { LedgerEntry, Tuner } from '../../core/tuner/index.js';
import {
  count,
  formatDriftLeft,
  formatEntry,
  formatFromHome,
  formatRatioOrCommas,
  formatReason,
  formatSeconds,
  formatSigned,
  formatSize,
  type NamedEntry,
  namePoint,
  toHomeRatio,
} from '../../core/words/index.js';
import { formatSettings } from './settings.js';
import { formatRow, wrap } from './wrap.js';

/** Least widths of the columns: name, ratio to home, ratio to the bass, cents. */
const WIDTHS = [8, 8, 7, 7] as const;

/** The head of an explanation: the piece and its settings, and how to read what follows. */
export function formatHead(name: string, piece: Explanation, colors: Colors): string[] {
  const { parts, planning, tuner } = piece;
  const { tonic } = toReportedSettings(tuner.settings);
  const of = piece.track === undefined ? '' : `, track ${piece.track}`;
  const lines = [
    colors.bold(`${name}${of}`),
    ...formatRow('tuned', formatSettings(tuner.settings, planning)),
  ];
  const list = parts.map(
    ({ name, track, channel, role }, i) =>
      `${i + 1}${name === '' ? '' : ` ${name}`} (track ${track}, channel ${channel}${role === 'tuned' ? '' : `, ${role}`})`,
  );
  if (parts.length > 1) lines.push(...formatRow('parts', list.join(', ')));
  const part = parts.length > 1 ? ', part' : '';
  lines.push(
    ...formatRow(
      'columns',
      `note${part}, ratio to home, ratio to the bass, cents from 12 equal, what decided it`,
    ),
  );
  const reading = [
    `Ratios to home count from ${tonic} with octaves left out; ratios to the bass are as they sound.`,
    'A note is decided by one that is held, pedalled, recalled (it has ended, but is remembered) or struck together with it.',
  ];
  for (const sentence of reading) lines.push(...formatRow('', sentence));
  return lines.map((line, i) => (i === 0 ? line : colors.dim(line)));
}

/** One chord: a line with time and drift, a line a note from the highest down, and what the ledger entered. */
export function formatMoment(moment: PlacedMoment, piece: Explanation, colors: Colors): string[] {
  const { tuner } = piece;
  const beat = Number(moment.beat.toFixed(2));
  const time = formatSeconds(moment.atMs / 1000, 3);
  const drift = `drift ${formatDriftLeft(moment.drift)}; chord mean ${formatFromHome(moment.fromHomeCents)}`;
  const place = `bar ${moment.bar}, beat ${beat}`;
  const [first, ...rest] = wrap(`${place}  ${time}  `, drift);
  // Coloured after line breaking: colour takes no columns.
  const lines = [
    `${colors.bold(place)}  ${colors.dim(time)}${first.slice(place.length + 2 + time.length)}`,
    ...rest,
  ];
  for (const note of moment.notes.toReversed()) {
    const [head, ...more] = formatNote(note, moment.notes, piece);
    lines.push(...[head, ...more].map((line) => (note.presence === 'struck' ? line : colors.dim(line))));
  }
  for (const entry of moment.entries)
    lines.push(...wrap('  ledger: ', formatEntry(toNamedEntry(entry, moment.notes, tuner))).map(colors.cyan));
  return lines;
}

function formatNote(note: MomentNote, notes: readonly MomentNote[], { parts, tuner }: Explanation): string[] {
  const cells = [
    namePoint(tuner, note.point, note.key).padEnd(WIDTHS[0]),
    ...(parts.length > 1
      ? [
          String(note.part + 1)
            .padStart(2)
            .padEnd(4),
        ]
      : []),
    formatRatioOrCommas(toHomeRatio(tuner, note.point, note.key)).padEnd(WIDTHS[1]),
    formatRatioOrCommas(note.fromBass).padEnd(WIDTHS[2]),
    formatSigned(note.deviationCents)
      .padStart(WIDTHS[3] - 2)
      .padEnd(WIDTHS[3]),
  ];
  return wrap(`  ${cells.join(' ')} `, formatReason(note, notes, tuner.settings.home.tonic));
}

/**
 * An entry with its note's name: from the moment of the entry if it has the note, else the usual spelling round the
 * tonic.
 */
export function toNamedEntry(entry: LedgerEntry, notes: readonly MomentNote[], tuner: Tuner): NamedEntry {
  const { settings } = tuner;
  if (entry.kind === 'offset') return { ...entry, held: settings.held };
  const { key } = entry;
  const nameOf = (one: number) => spellKey(one, settings.home.tonic.fifths + 2, { octave: true });
  if (entry.kind === 'impurity') return { ...entry, name: nameOf(key), strategy: settings.strategy };
  const comma = formatComma(entry.ratio);
  if (entry.kind === 'drift') {
    const lookUp = (one: number) => {
      const point = notes.find((note) => note.key === one)?.point;
      return point === undefined ? nameOf(one) : namePoint(tuner, point, one);
    };
    const by = entry.byKey === undefined ? '' : lookUp(entry.byKey);
    const { kind, cents, isReturn } = entry;
    return { kind, cents, comma, name: lookUp(key), isReturn, by };
  }
  const head = { kind: entry.kind, cents: entry.cents, comma };
  const point = findReturned(entry, notes)?.point;
  if (point === undefined) return { ...head, name: nameOf(key) };
  const [was, now] = [divide(point, entry.ratio), point].map((one) =>
    formatRatioOrCommas(toHomeRatio(tuner, one, key)),
  );
  return { ...head, name: namePoint(tuner, point, key), was, now };
}

/** The end of an explanation: the last entries, and the totals of the whole piece. */
export function formatTail(piece: Explanation, colors: Colors): string[] {
  const { moments, closing, tuner } = piece;
  const last: PlacedMoment | undefined = moments.at(-1);
  const lines: string[] = [];
  for (const entry of closing)
    lines.push(
      ...wrap('  ledger: ', formatEntry(toNamedEntry(entry, last?.notes ?? [], tuner))).map(colors.cyan),
    );
  if (lines.length > 0) lines.push('');
  lines.push(colors.bold('totals of the whole piece'), ...formatTotals(tuner));
  return lines;
}

function formatTotals({ ledger }: Tuner): string[] {
  const { returns, jumpedCents, glidedCents, offsetTravelCents, impurityCentSeconds } = ledger.totals;
  return [
    ...formatRow('returns', `${count(returns, 'time')} a note came back on another ratio`),
    ...formatRow('jumped', `${formatSize(jumpedCents)}, by notes between one sounding and the next, summed`),
    ...formatRow('glided', `${formatSize(glidedCents)}, by held notes while they sounded, summed`),
    ...formatRow('offset', `${formatSize(offsetTravelCents)}, by the offset of all notes, summed`),
    ...formatRow('impure', `${impurityCentSeconds.toFixed(1)} cent-seconds off the pure ratios`),
  ];
}
