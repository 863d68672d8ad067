import {
  divide,
  noteName,
  type Origin,
  type PrimeVector,
  sameClass,
  toCents,
  withKeys,
} from '../theory/index.js';
import type { SheetColumn, SheetNote } from './columns.js';

/** A note of a passage: its column, and its index there. */
export interface NotePlace {
  readonly column: number;
  readonly note: number;
}

/** A move from one note to the next, up or down, so that all stay within the octave above the first. */
export interface Move {
  /** The name of the note it leads to. */
  readonly name: string;
  readonly ratio: PrimeVector;
}

/** How one note follows from another, move by move: the product of the moves is the comma between them. */
export interface Derivation {
  /** The note it begins with. */
  readonly start: string;
  readonly moves: readonly Move[];
}

interface Stop {
  readonly point: PrimeVector;
}

/**
 * The moves from the first note to the last: back along the reasons of both until they meet at one point of the
 * lattice, then forward.
 *
 * @returns undefined if they don't meet within the passage
 */
export function toDerivation(
  columns: readonly SheetColumn[],
  first: NotePlace,
  last: NotePlace,
  origin: Origin,
): Derivation | undefined {
  const [fromFirst, fromLast] = [goBack(columns, first), goBack(columns, last)];
  for (let i = 0; i < fromLast.length; i++) {
    const meet = fromFirst.findIndex(({ point }) => sameClass(point, fromLast[i].point));
    if (meet < 0) continue;
    const whole = [...fromFirst.slice(0, meet), ...fromLast.slice(0, i + 1).reverse()];
    // Tied notes and octaves are no moves.
    const way = whole.filter(({ point }, k) => k === 0 || !sameClass(point, whole[k - 1].point));
    return { start: noteName(way[0].point, origin), moves: toMoves(way, origin) };
  }
  return undefined;
}

/** A move may end this far below the start: a comma that falls belongs to the same octave. */
const BELOW_CENTS = 150;

/** The moves along a way, in octaves that end at the start except for the comma. */
function toMoves(way: readonly Stop[], origin: Origin): Move[] {
  const moves: Move[] = [];
  const comma = withKeys(divide(way[way.length - 1].point, way[0].point), 0);
  let reached = 0;
  way.slice(1).forEach(({ point }, i) => {
    const step = divide(point, way[i].point);
    // The octave follows the drift, however far it goes.
    const below = (toCents(comma) * (i + 1)) / (way.length - 1) - BELOW_CENTS;
    const octaves = Math.floor((reached + toCents(step) - below) / 1200);
    const ratio: PrimeVector = [step[0] - octaves, step[1], step[2], step[3], step[4], step[5]];
    reached += toCents(ratio);
    moves.push({ name: noteName(point, origin), ratio });
  });
  return moves;
}

/** The chain of notes that decided a note, itself first. */
function goBack(columns: readonly SheetColumn[], from: NotePlace): Stop[] {
  let place: NotePlace | undefined = from;
  const seen = new Set<string>();
  let note = columns[from.column].notes[from.note];
  const stops: Stop[] = [{ point: note.point }];
  while (place !== undefined) {
    const struck: NotePlace = toFirst(columns, place);
    const id = `${struck.column} ${struck.note}`;
    // Reasons make no circle within a strike, and all others lead back in time; the limit stops a faulty circle.
    if (seen.has(id)) break;
    seen.add(id);
    note = columns[struck.column].notes[struck.note];
    // A note struck before the passage has no decision in it.
    if (note.decision === undefined) break;
    stops.push({ point: note.reason.deciderPoint });
    place = toDecider(columns, struck, note);
  }
  return stops;
}

/** Where a note was struck, or its first column. */
function toFirst(columns: readonly SheetColumn[], place: NotePlace): NotePlace {
  let { column, note } = place;
  for (;;) {
    const { tiedFrom } = columns[column].notes[note];
    if (tiedFrom === undefined) return { column, note };
    column -= 1;
    note = tiedFrom;
  }
}

/** The note that decided one, in this column or where it was last heard. */
function toDecider(
  columns: readonly SheetColumn[],
  { column }: NotePlace,
  { decision, reason }: SheetNote,
): NotePlace | undefined {
  if (decision?.from !== undefined) return { column, note: decision.from };
  for (let at = column - 1; at >= 0; at--) {
    const note = columns[at].notes.findIndex(
      ({ key, point }) => key === reason.deciderKey && sameClass(point, reason.deciderPoint),
    );
    if (note >= 0) return { column: at, note };
  }
  return undefined;
}
