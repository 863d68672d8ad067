import { formatDrawing } from '../../core/drawing/index.js';
import { drawSheet, type Passage, type SheetHeads, toPassage, toSystems } from '../../core/sheet/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import type { BarRange, ExplainedPart, Explanation } from '../explain.js';
import { toIdentity } from '../folders.js';
import { type FileAccess, toTitle } from '../midi-source.js';
import { type SheetPiece, toSheetPage } from './sheet-page.js';
import { DEFAULT_PAPER, type SheetPaper, toSheetWidth } from './sheet-style.js';

/** The file format of a sheet. */
export type SheetKind = 'html' | 'svg';

/** The result. */
export interface SheetDone {
  readonly kind: SheetKind;
  readonly chords: number;
  readonly systems: number;
  readonly paper: SheetPaper;
}

/** A picture of more systems is unreadable on a slide; a page of more chords is too long for anyone. */
export const MOST_SYSTEMS = 8;
export const MOST_CHORDS = 2000;

/**
 * The format of a path, by its ending. Throws SHEET_NAME for any other ending.
 * @example toSheetKind('pump.svg')  // 'svg'
 */
export function toSheetKind(path: string): SheetKind {
  const ending = /\.(html|svg)$/i.exec(path)?.[1].toLowerCase();
  if (ending === 'html' || ending === 'svg') return ending;
  throw new LeewayError({
    code: 'SHEET_NAME',
    message: `A sheet is written as .html or .svg, and ${path === '-' ? 'standard output' : `"${path}"`} ends in neither.`,
    advice: 'Give --sheet a name such as sheet.html, to print, or sheet.svg, for a slide.',
  });
}

/**
 * Writes a lecture sheet of the explained bars, whole or not at all. Throws a LeewayError: SHEET_NAME, SHEET_EMPTY,
 * SHEET_LONG, OUTPUT_IS_INPUT, or whatever `access.write` throws.
 *
 * @param input the piece's path, which also gives its title
 * @param how how it was tuned, in one line
 * @param paper the paper it is printed on; a picture has lines as wide
 */
export async function writeSheet(
  path: string,
  pieces: readonly Explanation[],
  {
    input,
    how,
    bars,
    paper = DEFAULT_PAPER,
  }: { input: string; how: string; bars: BarRange | undefined; paper?: SheetPaper },
  access: FileAccess,
): Promise<SheetDone> {
  const kind = toSheetKind(path);
  const identity = await toIdentity(path);
  if (identity !== undefined && identity === (await toIdentity(input))) throw overInput(path);
  const title = toTitle(input);
  const filled = pieces.filter(({ moments }) => moments.length > 0);
  if (filled.length === 0) throw toEmpty(pieces, bars);
  const chords = filled.reduce((sum, { moments }) => sum + moments.length, 0);
  if (chords > MOST_CHORDS) throw tooLong(`${chords} chords`, `${MOST_CHORDS}`);
  const sheets = filled.map(
    (piece): SheetPiece => ({
      passage: toSheetPassage(piece),
      heads: toHeads(piece, title, how),
    }),
  );
  const width = toSheetWidth(paper);
  const systems = sheets.reduce((sum, { passage }) => sum + toSystems(passage, width).length, 0);
  const text = kind === 'html' ? toSheetPage(title, sheets, paper) : toPicture(sheets, systems, width);
  await access.write(path, new TextEncoder().encode(text));
  return { kind, chords, systems, paper };
}

function toPicture(sheets: readonly SheetPiece[], systems: number, width: number): string {
  const [{ passage, heads }] = sheets;
  if (sheets.length > 1) {
    throw new LeewayError({
      code: 'SHEET_LONG',
      message: `The file holds ${sheets.length} pieces, and a picture shows one.`,
      advice: 'Write a page instead, with a name that ends in .html: it shows each.',
    });
  }
  if (systems > MOST_SYSTEMS) throw tooLong(`${systems} systems`, `${MOST_SYSTEMS} in a picture`);
  return formatDrawing(
    drawSheet(passage, heads, width),
    `${heads.title}: ${heads.lines.join('; ')}`,
    'role="img"',
  );
}

function toHeads({ moments, track, parts }: Explanation, title: string, how: string): SheetHeads {
  const [from, to] = [moments[0].bar, moments[moments.length - 1].bar];
  const bars = from === to ? `Bar ${from}` : `Bars ${from} to ${to}`;
  return {
    title: track === undefined ? title : `${title}, track ${track}`,
    lines: [`${bars}; ${how}`, ...toRoleLine(parts)],
  };
}

/** The parts that aren't tuned, if there are any. */
function toRoleLine(parts: readonly ExplainedPart[]): string[] {
  const others = parts.filter(({ role }) => role !== 'tuned');
  if (others.length === 0) return [];
  return [others.map(({ name, track, role }) => `${name || `track ${track}`}: ${role}`).join('; ')];
}

function overInput(path: string): LeewayError {
  return new LeewayError({
    code: 'OUTPUT_IS_INPUT',
    message: `Won't write over the input ${path}.`,
    advice: 'Give --sheet another name; the original is kept.',
  });
}

function tooLong(size: string, most: string): LeewayError {
  return new LeewayError({
    code: 'SHEET_LONG',
    message: `The passage has ${size}, and a sheet holds at most ${most}.`,
    advice: 'Choose fewer bars with --from and --to, or write a page (.html) instead of a picture.',
  });
}

function toEmpty(pieces: readonly Explanation[], bars: BarRange | undefined): LeewayError {
  const lastBar = Math.max(0, ...pieces.map((piece) => piece.lastBar));
  const message =
    bars === undefined || lastBar === 0
      ? 'There is no note to put on a sheet.'
      : 'No note is struck in the bars asked for.';
  const advice =
    lastBar === 0
      ? 'Give a file with notes on other channels than 10, which is percussion.'
      : `The last note of the piece is struck in bar ${lastBar}: choose --from and --to up to there.`;
  return new LeewayError({ code: 'SHEET_EMPTY', message, advice });
}

/** The explained passage, as a sheet shows it. */
export function toSheetPassage({ moments, tuner }: Explanation): Passage {
  const { settings, originKey } = tuner;
  return toPassage({
    moments,
    origin: settings.home.tonic,
    originKey,
    // Tempered notes are off their ratios, and so are tied ones that stay, and several fixed ones.
    hasLeaning:
      settings.strategy === 'temper' ||
      settings.held === 'stay' ||
      moments.some(({ notes }) => notes.some(({ isFixed }) => isFixed)),
  });
}
