import { nameInput, nameOutput } from '../../app/midi-source.js';
import type { OutletChoice } from '../../app/outlet-choice.js';
import type { DoneReport, OutletReport, PieceReport, PlanReport, WayHomeReport } from '../../app/report.js';
import type { FileOutcome } from '../../app/retune-files.js';
import type { Planning } from '../../core/score/index.js';
import { ratio } from '../../core/theory/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';
import { count, formatDriftLeft, formatFromHome, formatSeconds, formatSize } from '../../core/words/index.js';
import { formatOthers } from './roles.js';
import { formatOutlet, formatSettings } from './settings.js';
import { formatRow, wrap } from './wrap.js';

/** The result for one file, at length: a few lines, the first with its names. */
export function formatSummary(
  report: DoneReport,
  settings: TunerSettings,
  outlet: OutletChoice,
  planning: Planning,
): string[] {
  const lines = [`${nameInput(report.input)} → ${nameOutput(report.output)}`];
  report.pieces.forEach((piece, i) => {
    const heading = report.pieces.length > 1 ? `piece ${i + 1}, ` : '';
    lines.push(...formatRow('notes', `${heading}${formatSizeOfPiece(piece)}`));
    for (const sentence of formatOthers(piece)) lines.push(...formatRow('roles', sentence));
    lines.push(...formatRow('drift', formatEnding(piece)));
    lines.push(...formatRow('who paid', formatPayers(piece)));
    if (piece.plan !== null) lines.push(...formatRow('plan', formatPlan(piece.plan)));
    if (piece.plan?.wayHome) lines.push(...formatRow('way home', formatWayHome(piece.plan.wayHome)));
    for (const sentence of formatCounters(piece.outlet)) lines.push(...formatRow('outlet', sentence));
  });
  lines.push(...formatRow('tuned', formatSettings(settings, planning)));
  lines.push(...formatRow('plays', formatOutlet(outlet)));
  return lines;
}

/** The result for one file among several: two lines for each piece in it. */
export function formatShortSummary(report: DoneReport): string[] {
  const lines = [report.output];
  for (const piece of report.pieces) {
    const paid = piece.notes === 0 ? '' : `; ${formatPayers(piece)}`;
    lines.push(...wrap('    ', `${formatSizeOfPiece(piece)}; drift ${formatEnding(piece)}${paid}`));
    for (const sentence of [...formatOthers(piece), ...formatCounters(piece.outlet)])
      lines.push(...wrap('    ', sentence));
  }
  return lines;
}

/**
 * The results for many files: how many were done, and their sums.
 *
 * @param all  how many files there were
 * @param done how many were skipped as already done
 */
export function formatBatch(outcomes: readonly FileOutcome[], all: number, done: number): string[] {
  const reports = outcomes.flatMap((outcome) => (outcome.ok ? [outcome.report] : []));
  const before = done === 0 ? '' : `; ${count(done, 'file')} had been done before`;
  const lines = [`${reports.length} of ${all} retuned${before}`];
  const pieces = reports.flatMap((report) => report.pieces.map((piece) => ({ piece, report })));
  if (pieces.length < 2) return lines;
  const sum = (of: (piece: PieceReport) => number) =>
    pieces.reduce((total, { piece }) => total + of(piece), 0);
  const length = formatSeconds(
    sum((piece) => piece.seconds),
    1,
  );
  lines.push(
    ...formatRow(
      'notes',
      `${count(
        sum((piece) => piece.notes),
        'note',
      )} in ${count(pieces.length, 'piece')}, ${length}`,
    ),
  );
  const jumped = formatSize(sum(({ totals }) => totals.jumpedCents));
  const glided = formatSize(sum(({ totals }) => totals.glidedCents));
  lines.push(
    ...formatRow('who paid', `returning notes jumped ${jumped} in all, held notes glided ${glided}`),
  );
  const ended = pieces.filter(({ piece }) => piece.ending !== null);
  const away = ({ piece }: (typeof pieces)[number]) => Math.abs(piece.ending?.fromHomeCents ?? 0);
  const [farthest] = ended.toSorted((a, b) => away(b) - away(a));
  if (farthest?.piece.ending) {
    const fromHome = formatFromHome(farthest.piece.ending.fromHomeCents);
    lines.push(...formatRow('farthest', `${farthest.report.output}, whose last chord is ${fromHome}`));
  }
  return lines;
}

function formatSizeOfPiece(piece: PieceReport): string {
  const length = formatSeconds(piece.seconds, 1);
  if (piece.notes === 0) return `no notes to tune; ${length}`;
  const tuned = piece.parts.filter(({ role }) => role === 'tuned');
  return `${count(piece.notes, 'note')} in ${count(tuned.length, 'part')}, ${length}`;
}

function formatEnding({ ending }: PieceReport): string {
  if (ending === null) return 'none';
  const { drift, fromHomeCents } = ending;
  const left = formatDriftLeft({ ...drift, commas: ratio(drift.ratio) });
  return `${left} at the end; the last chord is ${formatFromHome(fromHomeCents)}`;
}

function formatPayers({ totals }: PieceReport): string {
  const { returns, jumpedCents, glidedCents, impurityCentSeconds } = totals;
  const jumped = `returning notes jumped ${formatSize(jumpedCents)} in all (${count(returns, 'return')} on another ratio)`;
  const impure =
    impurityCentSeconds > 0.05 ? `; ${impurityCentSeconds.toFixed(1)} cent-seconds off the pure ratios` : '';
  return `${jumped}, held notes glided ${formatSize(glidedCents)}${impure}`;
}

/**
 * The gain of a plan, in one sentence.
 * @example formatPlan({ returns: 12, liveReturns: 19, isBest: true })
 *   // '12 notes come back at another ratio, where the live rule has 19; no plan has a better price'
 */
export function formatPlan({ returns, liveReturns, isBest }: PlanReport): string {
  const own = `${count(returns, 'note')} ${returns === 1 ? 'comes' : 'come'} back at another ratio`;
  return `${own}, where the live rule has ${liveReturns}${isBest ? '; no plan has a better price' : ''}`;
}

/**
 * How a piece came to end where it began, in one sentence.
 * @example formatWayHome({ returns: 24, againstHeld: 2, widestCents: 21.506 })
 *   // 'the drift is given back in 24 returns of at most 21.5 c, 2 of them against held notes'
 */
export function formatWayHome({ returns, againstHeld, widestCents }: WayHomeReport): string {
  if (returns === 0) return 'the ratios themselves lead there';
  const held =
    againstHeld === 0 ? 'none of them against a held note' : `${againstHeld} of them against held notes`;
  return `the drift is given back in ${count(returns, 'return')} of at most ${formatSize(widestCents)}, ${held}`;
}

/** What the outlet couldn't do, a sentence each. */
export function formatCounters(outlet: OutletReport): string[] {
  const sentences: string[] = [];
  const place = outlet.kind === 'mts' ? 'key' : 'channel';
  const add = (number: number, thing: string, rest: string) => {
    if (number > 0) sentences.push(`${count(number, thing)} ${rest}`);
  };
  add(outlet.clampedBends, 'time', 'a note reached the end of its bend range and wanted more');
  add(outlet.sharedNotes, 'note', `had to share a ${place} with one still sounding, for want of a free one`);
  add(outlet.hurriedNotes, 'note', 'took a channel on which a release still sounded, and bent it');
  add(outlet.foldedNotes, 'note', 'sent on a neighbouring key, as the pitch is nearer to that one');
  return sentences;
}
