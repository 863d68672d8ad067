import { spread, toTextWidth } from '../drawing/index.js';
import { formatPower, formatRatio, type PrimeVector, toCents } from '../theory/index.js';
import { formatSigned } from '../words/index.js';
import type { Decision, SheetColumn, SheetNote } from './columns.js';
import { toAccidentalPlaces, toLanes, toSides } from './crowding.js';
import { PEN } from './pen.js';

/** A note of a column with its place: y counts down from middle C's line, x from the left edge of the column. */
export interface NoteLayout {
  readonly note: SheetNote;
  /** The head's middle. */
  readonly x: number;
  readonly y: number;
  /** Where its accidental ends. */
  readonly accidentalX: number;
  /** Where head and accidental begin: arrows end here, and leave from here. */
  readonly left: number;
  /** The middle of its row of words. */
  readonly rowY: number;
  /** Where its words end. */
  readonly right: number;
}

/** A vertical line with arrows from one deciding note to those it decided. */
export interface Trunk {
  readonly from: number;
  readonly to: readonly number[];
  readonly x: number;
}

/** A column with all its positions. */
export interface ColumnLayout {
  readonly column: SheetColumn;
  /** Whether each note's cents are written. */
  readonly hasLeaning: boolean;
  readonly width: number;
  /** Above and below middle C's line, counted down. */
  readonly top: number;
  readonly bottom: number;
  /** In the order of the column's notes. */
  readonly notes: readonly NoteLayout[];
  readonly trunks: readonly Trunk[];
  /** The right edge of what is written on the arrows, and the left edges of the words. */
  readonly decisionX: number;
  readonly nameX: number;
  readonly ratioX: number;
  readonly centsX: number;
  readonly returnX: number;
  readonly foot: ColumnFoot;
}

/** What is written above and below a column. */
export interface ColumnFoot {
  readonly proportion: string;
  readonly drift: string;
  readonly fromHome: string;
}

const PAD = { left: 12, right: 10, gap: 8 };
const LANE = 9;
const MIDDLE_C = 28;

/** The lower staff is this much further down than its notes need, so that one sees two staves. */
const BASS_DROP = 3.5 * PEN.step;

/** The height of a letter, counted down from middle C's line; what is below middle C belongs to the lower staff. */
export function toStaffY(staffStep: number): number {
  return (MIDDLE_C - staffStep) * PEN.step + (staffStep < MIDDLE_C ? BASS_DROP : 0);
}

/** The accidental before a head: ♯ and ♭, counted where there are many. */
export function toAccidental({ alteration }: SheetNote): string {
  const count = Math.abs(alteration);
  const sign = alteration < 0 ? '♭' : '♯';
  return count > 3 ? `${count}${sign}` : sign.repeat(count);
}

/** The words on an arrow: the ratio, after the name of a remembered note it comes from. */
export function toDecisionWords(decision: Decision): { name: string; ratio: string } {
  const isAway = decision.from === undefined && !decision.isSame;
  return { name: isAway ? decision.name : '', ratio: formatRatio(decision.interval) };
}

/** The mark of a returned note. @example toReturnWords(ratio('80/81'))  // '↓80/81' */
export function toReturnWords(returned: PrimeVector): string {
  return `${toCents(returned) < 0 ? '↓' : '↑'}${formatPower(returned)}`;
}

/** Lays out one chord. Words never overlap: each row has a separate height, each kind of words a separate column. */
export function layOutColumn(column: SheetColumn, hasLeaning: boolean): ColumnLayout {
  const { notes } = column;
  const ys = notes.map(({ staffStep }) => toStaffY(staffStep));
  // From the highest down, so that of two on one line the higher key is above.
  const rows = spread(ys.toReversed(), PEN.row, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY).reverse();
  const widest = (of: (note: SheetNote) => number) => Math.max(0, ...notes.map(of));

  const decisionWidth = widest(({ decision }) => (decision === undefined ? 0 : toDecisionWidth(decision)));
  const lanes = toLanes(
    notes.map(({ decision }) => decision?.from),
    ys,
  );
  const laneCount = Math.max(0, ...lanes.map(({ lane }) => lane + 1));
  const decisionX = PAD.left + decisionWidth;
  const sides = toSides(notes.map(({ staffStep }) => staffStep));
  const places = toAccidentalPlaces(
    notes.map((note) => toTextWidth(toAccidental(note), PEN.ratio, true)),
    ys,
  );
  const headsX = decisionX + PAD.gap + (laneCount + 1) * LANE + places.width;
  const firstX = headsX + 3 + PEN.head.radiusX;
  const nameX = firstX + (2 * Math.max(0, ...sides) + 1) * PEN.head.radiusX + PAD.gap;
  const ratioX =
    nameX + widest(({ name, presence }) => toTextWidth(name, PEN.name, presence === 'struck')) + PAD.gap;
  const centsX = ratioX + widest(({ toBass }) => toTextWidth(toBass, PEN.ratio)) + PAD.gap;
  const centsWidth = hasLeaning
    ? widest(({ deviationCents }) => toTextWidth(formatSigned(deviationCents), PEN.small)) + PAD.gap
    : 0;
  const returnX = centsX + centsWidth;
  const returnWidth = ({ returned }: SheetNote) =>
    returned === undefined ? 0 : toTextWidth(toReturnWords(returned), PEN.small, true) + 10;
  const wordsEnd = (note: SheetNote) =>
    note.returned === undefined ? returnX - PAD.gap : returnX + returnWidth(note);

  const foot = {
    proportion: column.proportion ?? '',
    drift: formatPower(column.drift),
    fromHome: formatSigned(column.fromHomeCents),
  };
  const feet = [
    toTextWidth(foot.proportion, PEN.ratio, true),
    toTextWidth(foot.drift, PEN.ratio),
    toTextWidth(foot.fromHome, PEN.ratio),
  ];
  const width = Math.max(
    returnX + widest(returnWidth) + PAD.right,
    PAD.left + Math.max(HEAD_WIDTH, ...feet) + PAD.right,
  );
  const laid = notes.map(
    (note, i): NoteLayout => ({
      note,
      x: firstX + sides[i] * 2 * PEN.head.radiusX,
      y: ys[i],
      accidentalX: headsX - places.ends[i],
      left: headsX - places.starts[i] - (note.alteration === 0 ? 0 : 3),
      rowY: rows[i],
      right: wordsEnd(note),
    }),
  );
  return {
    column,
    hasLeaning,
    width,
    top: Math.min(...ys, ...rows) - PEN.row / 2,
    bottom: Math.max(...ys, ...rows) + PEN.row / 2,
    notes: laid,
    trunks: lanes.map(({ from, to, lane }) => ({
      from,
      to,
      x: headsX - places.width - (lane + 1) * LANE,
    })),
    decisionX,
    nameX,
    ratioX,
    centsX,
    returnX,
    foot,
  };
}

/** Room for the chord's number and its place in the metre. */
const HEAD_WIDTH = 118;

/** Room for a remembered note's name, its gap and the ratio. */
function toDecisionWidth(decision: Decision): number {
  const { name, ratio } = toDecisionWords(decision);
  return (name === '' ? 0 : toTextWidth(name, PEN.small) + 6) + toTextWidth(ratio, PEN.ratio);
}
