import { escapeText } from '../../core/drawing/index.js';
import type { MidiFile } from '../../core/midi/index.js';
import { findCents } from '../../core/score/index.js';
import { formatComma, formatPower, formatRatio } from '../../core/theory/index.js';
import { formatSigned, namePoint } from '../../core/words/index.js';
import { explain } from '../explain.js';
import { type PageParts, toStandalonePage } from '../standalone-page.js';
import { PICTURE, toComparisonSvg } from './picture.js';
import { toComparisonSheet } from './sheet.js';
import { toFigureRow } from './tables.js';
import type { Comparison } from './versions.js';

/** The built script and style of the page. */
export type ReportParts = Required<Pick<PageParts, 'script' | 'style'>>;

/** Most rows of the chord table; a longer piece is complete in the tables. */
const MOST_CHORDS = 1500;

/**
 * A comparison as one self-contained page: it plays the versions in step, switches between them without a gap, and
 * shows the picture, the figures and the chords. It opens from a disk and loads nothing.
 *
 * @param heard which version is heard first
 */
export function toReportPage(
  title: string,
  comparison: Comparison,
  chords: readonly ChordRow[],
  parts: ReportParts,
): string {
  const name = escapeText(title);
  const { versions, settings } = comparison;
  const data = JSON.stringify(toComparisonSheet(comparison)).replaceAll('<', '\\u003c');
  const heard = versions.findIndex((version) => version.name === settings.strategy);
  const body = `<h1>${name}</h1>
<p class="faint">The same notes in ${versions.length} tunings, in step. Change over while it plays.</p>
<div class="controls">
<button type="button" id="play">Play</button>
<fieldset class="versions"><legend hidden>Heard</legend>
${versions.map((version, i) => `<label><input type="radio" name="version"${i === heard ? ' checked' : ''}>${escapeText(version.title)}</label>`).join('\n')}
</fieldset>
<label>Volume <input type="range" id="volume" min="0" max="1" step="0.01" value="0.15"></label>
<small>Low first, with headphones most of all.</small>
<input type="range" id="place" min="0" max="${Math.round(comparison.lengthMs)}" step="10" value="0" aria-label="Place in the piece">
<span id="time"></span>
</div>
<div id="picture" data-left="${PICTURE.left}" data-right="${PICTURE.right}">
${toComparisonSvg(title, comparison)}
<svg id="pointer" viewBox="0 0 ${PICTURE.width} ${PICTURE.height}" aria-hidden="true"><line x1="0" x2="0" y1="30" y2="850"/></svg>
</div>
<h2>Figures</h2>
<div class="wide">${figureTable(comparison)}</div>
<h2>Chords</h2>
<p class="faint">Notes with their comma marks and ratios to the lowest one, as ${escapeText(settings.strategy)} chooses them; then the drift of each version, in cents. A click goes there.</p>
<div class="wide">${chordTable(comparison, chords)}</div>
<script type="application/json" id="sheet">${data}</script>`;
  return toStandalonePage({ ...parts, title: `${title} compared`, body, hasPictures: true });
}

/** One column a version: so the page can be read on a phone, and on paper. */
function figureTable({ versions }: Comparison): string {
  const rows = versions.map(toFigureRow);
  const heads = Object.keys(rows[0]).filter((head) => head !== 'version');
  const lines = heads.map(
    (head) =>
      `<tr><th scope="row">${escapeText(head)}</th>${rows.map((row) => `<td>${toCell(row[head])}</td>`).join('')}</tr>`,
  );
  return `<table><thead><tr><td></td>${versions.map(({ title }) => `<th scope="col">${escapeText(title)}</th>`).join('')}</tr></thead><tbody>${lines.join('\n')}</tbody></table>`;
}

function toCell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'string') return escapeText(value);
  return String(Math.round(value * 100) / 100).replace('-', '−');
}

function chordTable({ versions }: Comparison, chords: readonly ChordRow[]): string {
  const heads = ['bar', 'beat', 'notes', 'ratios', 'commas'];
  const shown = chords.slice(0, MOST_CHORDS);
  const lines = shown.map(
    ({ atMs, bar, beat, names, ratios, drift, commas, leftCents }) =>
      `<tr data-ms="${Math.round(atMs)}"><td>${bar}</td><td>${Math.round(beat * 100) / 100}</td><td class="text">${escapeText(names.join(' '))}</td><td class="text">${ratios.join(' ')}</td><td title="${escapeText(drift)}">${drift === '1/1' ? '0' : escapeText(commas)}</td>${leftCents.map((cents) => `<td>${formatSigned(cents)}</td>`).join('')}</tr>`,
  );
  const rest =
    chords.length > MOST_CHORDS
      ? `<p class="faint">${chords.length - MOST_CHORDS} more chords are left out here.</p>`
      : '';
  return `<table id="chords"><thead><tr>${heads.map((head) => `<th scope="col"${head === 'notes' || head === 'ratios' ? ' class="text"' : ''}>${head}</th>`).join('')}${versions.map(({ title }) => `<th scope="col">${escapeText(title)}</th>`).join('')}</tr></thead><tbody>${lines.join('\n')}</tbody></table>${rest}`;
}

/** One chord of the piece: its notes, and the drift of each version. */
export interface ChordRow {
  readonly atMs: number;
  /** Bar and beat for people: "3.2½" is shown as 3 and 2.5. */
  readonly bar: number;
  readonly beat: number;
  /** Notes with comma marks from the lowest up, and their ratios to it. */
  readonly names: readonly string[];
  readonly ratios: readonly string[];
  /** How far the harmony has moved so far, as a ratio and as commas. */
  readonly drift: string;
  readonly commas: string;
  /** The drift left in each version, in their order. */
  readonly leftCents: readonly number[];
}

/**
 * The chords of a piece as the chosen strategy tunes them, a row each.
 *
 * @param file of format 0 or 1
 */
export function toChordRows(file: MidiFile, { settings, planning, roles, versions }: Comparison): ChordRow[] {
  const [{ moments, tuner }] = explain(file, settings, planning, undefined, roles);
  return moments.map(({ atMs, bar, beat, notes, drift }) => ({
    atMs,
    bar,
    beat,
    names: notes.map(({ point, key }) => namePoint(tuner, point, key)),
    ratios: notes.map(({ fromBass }) => formatRatio(fromBass)),
    drift: formatPower(drift.commas),
    commas: formatComma(drift.commas),
    leftCents: versions.map((version) => findCents(version.drift, atMs)),
  }));
}
