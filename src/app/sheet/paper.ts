import { SHEET_WIDTH } from '../../core/sheet/index.js';

/** Sizes of paper, across and down when it stands upright, in millimetres. A4: ISO 216; letter: ANSI/ASME Y14.1, A. */
const SIZES = {
  a4: { name: 'A4', across: 210, down: 297 },
  letter: { name: 'letter', across: 215.9, down: 279.4 },
} as const;

/** What paper is called where it is chosen. */
export type PaperSize = keyof typeof SIZES;

/** Every size there is. */
export const PAPER_SIZES = Object.keys(SIZES) as PaperSize[];

/** What a sheet is printed on. */
export interface SheetPaper {
  readonly size: PaperSize;
  /** Standing, higher than wide; else it lies. */
  readonly isUpright: boolean;
}

/** What a sheet is printed on unless something else is wished for. */
export const STOCK_PAPER: SheetPaper = Object.freeze({ size: 'a4', isUpright: false });

const MARGIN_MM = 10;

/** How wide a sheet is drawn, in its own units: notes are as large on every paper. @example toSheetWidth(STOCK_PAPER)  // 1180 */
export function toSheetWidth(paper: SheetPaper): number {
  return Math.round((SHEET_WIDTH * toRoom(paper)) / toRoom(STOCK_PAPER));
}

/** What a style sheet says of it. @example toPageRule(STOCK_PAPER)  // '@page { size: A4 landscape; margin: 10mm; }' */
export function toPageRule({ size, isUpright }: SheetPaper): string {
  return `@page { size: ${SIZES[size].name} ${isUpright ? 'portrait' : 'landscape'}; margin: ${MARGIN_MM}mm; }`;
}

/** What people call it. @example formatPaper({ size: 'letter', isUpright: true })  // 'letter paper, upright' */
export function formatPaper({ size, isUpright }: SheetPaper): string {
  return `${SIZES[size].name}${size === 'letter' ? ' paper' : ''}${isUpright ? ', upright' : ''}`;
}

/** What the margins leave across, in millimetres. */
function toRoom({ size, isUpright }: SheetPaper): number {
  const { across, down } = SIZES[size];
  return (isUpright ? across : down) - 2 * MARGIN_MM;
}
