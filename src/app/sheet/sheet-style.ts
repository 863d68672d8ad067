import { SHEET_WIDTH } from '../../core/sheet/index.js';

/** Margins and borders beside a sheet on a screen, in pixels. */
const EDGE = 60;

/** Where paper is narrow, the comma found on a long path is below it. */
const PORTRAIT = `  .long { display: block; }
  .long .walk { max-width: none; }
  .long .walk figure { display: inline-block; max-width: 100%; vertical-align: top; margin-right: 16px; }
  .long ul { columns: 2; column-gap: 2em; }
  .legend svg { width: 580px; }
`;

/** The style of a sheet on a screen and on paper: black on white, broken only between systems. */
export function toSheetStyle(paper: SheetPaper): string {
  return `
:root { color-scheme: light; }
body { margin: 0; background: #fff; color: #111; font: 16px/1.4 sans-serif; }
main { max-width: ${toSheetWidth(paper) + EDGE}px; margin: 0 auto; padding: 16px 24px; }
h1 { font-size: 1.75rem; margin: 0; }
h2 { font-size: 1.1rem; margin: 0 0 4px; }
header p { margin: 2px 0; color: #444; }
header { margin-bottom: 8px; }
figure { margin: 0 0 14px; break-inside: avoid; }
svg { display: block; max-width: 100%; height: auto; }
.end { display: flex; flex-wrap: wrap; gap: 12px 32px; align-items: flex-start; }
.walk { flex: 0 1 auto; min-width: 0; max-width: 100%; }
.found { flex: 1 1 310px; min-width: 0; break-inside: avoid; }
.found p { margin: 4px 0; overflow-wrap: anywhere; }
.found .figure { font-size: 2.4rem; font-weight: bold; line-height: 1.1; }
.found .title { font-size: 1.1rem; }
.found ul { padding-left: 1.1em; color: #444; font-size: 0.9rem; overflow-wrap: anywhere; }
details { margin-top: 16px; }
summary { cursor: pointer; min-height: 1.6em; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: 0.85rem; }
th, td { border-bottom: 1px solid #bbb; padding: 2px 10px 2px 0; text-align: left; vertical-align: top; }
tbody th { font-weight: normal; max-width: 14em; }
article + article { break-before: page; margin-top: 40px; }
${toPageRule(paper)}
@media print {
  main { max-width: none; padding: 0; }
  body { font-size: 10pt; line-height: 1.3; }
  h1 { font-size: 15pt; }
  header { margin-bottom: 2px; }
  .found p, .found ul { margin: 2px 0; }
  .legend svg { width: 290px; }
  figure { margin-bottom: 8px; }
  .walk { max-width: 60%; }
  .found { flex-basis: 30%; }
  .found .figure { font-size: 24pt; }
  details:not([open]) { display: none; }
  h2 { break-after: avoid; }
  tbody { break-inside: avoid; }
  .wide { overflow: visible; }
${paper.isPortrait ? PORTRAIT : ''}}
`;
}

/** Sizes of paper, across and down in portrait, in millimetres. A4: ISO 216; letter: ANSI/ASME Y14.1, A. */
const SIZES = {
  a4: { name: 'A4', across: 210, down: 297 },
  letter: { name: 'letter', across: 215.9, down: 279.4 },
} as const;

/** The name of a paper size in options. */
export type PaperSize = keyof typeof SIZES;

/** Every size of paper. */
export const PAPER_SIZES = Object.keys(SIZES) as PaperSize[];

/** The paper of a sheet. */
export interface SheetPaper {
  readonly size: PaperSize;
  /** Portrait, higher than wide; else landscape. */
  readonly isPortrait: boolean;
}

/** The default paper. */
export const DEFAULT_PAPER: SheetPaper = Object.freeze({ size: 'a4', isPortrait: false });

const MARGIN_MM = 10;

/**
 * The width of a sheet in its own units: notes are equally large on every paper.
 * @example toSheetWidth(DEFAULT_PAPER)  // 1180
 */
export function toSheetWidth(paper: SheetPaper): number {
  return Math.round((SHEET_WIDTH * toRoom(paper)) / toRoom(DEFAULT_PAPER));
}

/**
 * The page rule of a style sheet.
 * @example toPageRule(DEFAULT_PAPER)  // '@page { size: A4 landscape; margin: 10mm; }'
 */
export function toPageRule({ size, isPortrait }: SheetPaper): string {
  return `@page { size: ${SIZES[size].name} ${isPortrait ? 'portrait' : 'landscape'}; margin: ${MARGIN_MM}mm; }`;
}

/**
 * The name of a paper for people.
 * @example formatPaper({ size: 'letter', isPortrait: true })  // 'letter paper, portrait'
 */
export function formatPaper({ size, isPortrait }: SheetPaper): string {
  return `${SIZES[size].name}${size === 'letter' ? ' paper' : ''}${isPortrait ? ', portrait' : ''}`;
}

/** The width between the margins, in millimetres. */
function toRoom({ size, isPortrait }: SheetPaper): number {
  const { across, down } = SIZES[size];
  return (isPortrait ? across : down) - 2 * MARGIN_MM;
}
