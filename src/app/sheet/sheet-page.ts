import { escapeText, formatDrawing } from '../../core/drawing/index.js';
import {
  drawParts,
  type Passage,
  type SheetColumn,
  type SheetHeads,
  type SheetNote,
  toFoundWords,
} from '../../core/sheet/index.js';
import { formatPower } from '../../core/theory/index.js';
import { formatSigned } from '../../core/words/index.js';
import { toStandalonePage } from '../standalone-page.js';
import { DEFAULT_PAPER, type SheetPaper, toSheetStyle, toSheetWidth } from './sheet-style.js';

/** A passage with its title and heading. */
export interface SheetPiece {
  readonly passage: Passage;
  readonly heads: SheetHeads;
}

/**
 * A lecture sheet as one page to be printed: no script, nothing loaded from elsewhere. It breaks between systems; a
 * table has all of it too.
 *
 * @param pieces at least one; each begins a sheet of paper
 * @param paper  the paper it is printed on
 */
export function toSheetPage(
  title: string,
  pieces: readonly SheetPiece[],
  paper: SheetPaper = DEFAULT_PAPER,
): string {
  return toStandalonePage({
    title,
    style: toSheetStyle(paper),
    body: `<main>\n${pieces.map((piece) => toSection(piece, paper)).join('\n')}\n</main>`,
  });
}

function toSection({ passage, heads }: SheetPiece, paper: SheetPaper): string {
  const sheetWidth = toSheetWidth(paper);
  const leastWidth = paper.isPortrait ? sheetWidth : LEAST_WIDTH;
  const legendWidth = paper.isPortrait ? 2 * LEGEND_WIDTH : LEGEND_WIDTH;
  const { systems, paths, legend } = drawParts(passage, legendWidth, sheetWidth);
  const { figure, title, lines, moved, way } = toFoundWords(passage);
  const isLong =
    moved.length + way.length > MOST_BESIDE ||
    paths.length > 1 ||
    paths[0].drawing.width > SHARE_BESIDE * sheetWidth;
  // In portrait there is no room for the legend beside a path.
  const isAcross = paper.isPortrait && !isLong;
  const widest = Math.max(...systems.map(({ drawing }) => drawing.width));
  const figures = systems.map(({ drawing, first, last }) =>
    // Systems narrower than the widest one have its scale.
    toFigure(
      formatDrawing(
        drawing,
        `${toRange('Chord', first, last)} on staves; told in the table`,
        toShare(drawing.width / Math.max(widest, leastWidth)),
      ),
    ),
  );
  const maps = paths.map(({ path, drawing }) =>
    toFigure(
      formatDrawing(
        drawing,
        `The walk on the lattice, ${toRange('chord', path.firstChord, path.lastChord)}`,
        `role="img" width="${Math.round(drawing.width)}"`,
      ),
    ),
  );
  const signs = `<figure class="legend">${formatDrawing(legend, 'What the signs mean', `role="img" width="${legendWidth}"`)}</figure>`;
  return `<article>
<header>
<h1>${escapeText(heads.title)}</h1>
${heads.lines.map((line) => `<p>${escapeText(line)}</p>`).join('\n')}
</header>
${figures.join('\n')}
<div class="end${isLong ? ' long' : ''}">
<section class="walk"><h2>The walk on the lattice</h2>
${maps.join('\n')}
</section>
<section class="found"><h2>The comma found</h2>
${figure === undefined ? '' : `<p class="figure">${escapeText(figure)}</p>\n`}<p class="title">${escapeText(title)}</p>
${lines.map((line) => `<p>${escapeText(line)}</p>`).join('\n')}
${toList([...moved, ...way])}
${isAcross ? '' : signs}
</section>
</div>
${isAcross ? signs : ''}
<details><summary>The same as a table</summary>
<div class="wide" tabindex="0" role="region" aria-label="The chords as a table">
${toTable(passage)}
</div>
</details>
</article>`;
}

/** On portrait paper, a wider path or a longer list has the whole width. */
const SHARE_BESIDE = 0.6;
const MOST_BESIDE = 8;

const LEGEND_WIDTH = 370;

function toList(lines: readonly string[]): string {
  return lines.length === 0 ? '' : `<ul>${lines.map((line) => `<li>${escapeText(line)}</li>`).join('')}</ul>`;
}

/** Narrower passages aren't enlarged to the whole width in landscape. In portrait the room is below. */
const LEAST_WIDTH = 760;

function toFigure(svg: string): string {
  return `<figure>${svg}</figure>`;
}

function toShare(share: number): string {
  return `role="img" width="${Math.round(Math.min(1, share) * 1000) / 10}%"`;
}

/** As in: Chords 1 to 3. */
function toRange(thing: string, first: number, last: number): string {
  return first === last ? `${thing} ${first}` : `${thing}s ${first} to ${last}`;
}

function toTable({ columns }: Passage): string {
  const heads = [
    'note',
    'ratio to the lowest',
    'ratio to home',
    'cents from 12 equal',
    'why',
    'came back by',
  ];
  return `<table><thead><tr><th scope="col">chord</th>${heads.map((head) => `<th scope="col">${head}</th>`).join('')}</tr></thead>
${columns.map(toRows).join('\n')}
</table>`;
}

function toRows(column: SheetColumn): string {
  const { number, bar, beat, notes, drift, fromHomeCents } = column;
  const place = `${number}: bar ${bar}, beat ${Math.round(beat * 100) / 100}; drift ${formatPower(drift)}, ${formatSigned(fromHomeCents)} c from home`;
  const rows = notes
    .toReversed()
    .map(
      (note, i) =>
        `<tr>${i === 0 ? `<th scope="rowgroup" rowspan="${notes.length}">${place}</th>` : ''}${toCells(note)}</tr>`,
    );
  return `<tbody>${rows.join('\n')}</tbody>`;
}

function toCells({ name, toBass, toHome, deviationCents, why, returned }: SheetNote): string {
  const cells = [
    name,
    toBass,
    toHome,
    formatSigned(deviationCents),
    why,
    returned === undefined ? '' : formatPower(returned),
  ];
  return cells.map((cell) => `<td>${escapeText(cell)}</td>`).join('');
}
