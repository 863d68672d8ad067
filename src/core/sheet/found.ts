import {
  divide,
  equal,
  formatPlace,
  noteName,
  type Origin,
  type PrimeVector,
  sameClass,
  toNamePlace,
  withKeys,
} from '../theory/index.js';
import type { SheetColumn } from './columns.js';
import { type Derivation, toDerivation } from './derivation.js';

/** A key class that ends the passage on another pitch. */
export interface MovedClass {
  readonly keyClass: number;
  /** Its first letter and accidental, without comma. */
  readonly letter: string;
  /** Its first and last names in the passage, and the numbers of the chords they were struck in. */
  readonly from: string;
  readonly fromPoint: PrimeVector;
  readonly fromChord: number;
  readonly to: string;
  readonly toPoint: PrimeVector;
  readonly toChord: number;
  /** Last point ÷ first point: a comma product. */
  readonly ratio: PrimeVector;
  /** The moves of the passage from the first to the last; undefined without a chain of reasons. */
  readonly derivation: Derivation | undefined;
}

/** A key class comes back on another pitch. */
export interface Return {
  readonly keyClass: number;
  readonly letter: string;
  readonly chord: number;
  readonly ratio: PrimeVector;
}

/** The result of a passage. */
export interface Found {
  /** How far the harmony has moved from the first chord to the last. 1/1 if nowhere. */
  readonly drift: PrimeVector;
  /** The key class that shows it best: it sounds in the last chord, with known moves if any have them. */
  readonly shown: MovedClass | undefined;
  /** All that moved, by key class from C up. */
  readonly moved: readonly MovedClass[];
  /** Every time a key class came back elsewhere, in the order of time. */
  readonly returns: readonly Return[];
  /** How far the last chord is from home, in cents. */
  readonly fromHomeCents: number;
  /** How far it has moved on the lattice since the piece began. */
  readonly driftOfPiece: PrimeVector;
}

/** The comma of a passage, and how it arose. @param columns at least one */
export function toFound(columns: readonly SheetColumn[], origin: Origin): Found {
  const moved: MovedClass[] = [];
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const one = toMoved(columns, keyClass, origin);
    if (one !== undefined) moved.push(one);
  }
  const last = columns[columns.length - 1];
  const drift = withKeys(divide(last.drift, columns[0].drift), 0);
  const showing = moved.filter(
    ({ ratio, keyClass }) => equal(ratio, drift) && last.notes.some(({ key }) => key % 12 === keyClass),
  );
  return {
    drift,
    shown: showing.find(({ derivation }) => derivation !== undefined) ?? showing[0],
    moved,
    returns: columns.flatMap((column) => toReturns(column, origin)),
    fromHomeCents: last.fromHomeCents,
    driftOfPiece: last.drift,
  };
}

function toReturns({ notes, number }: SheetColumn, origin: Origin): Return[] {
  const returns = new Map<number, Return>();
  for (const { key, point, returned } of notes) {
    const letter = formatPlace(toNamePlace(point, origin));
    if (returned !== undefined)
      returns.set(key % 12, { keyClass: key % 12, letter, chord: number, ratio: returned });
  }
  return [...returns.values()];
}

function toMoved(columns: readonly SheetColumn[], keyClass: number, origin: Origin): MovedClass | undefined {
  const places = columns.flatMap(({ notes }, column) =>
    notes.flatMap(({ key }, note) => (key % 12 === keyClass ? [{ column, note }] : [])),
  );
  if (places.length === 0) return undefined;
  const from = places[0];
  const lastColumn = places[places.length - 1].column;
  // The first is the lowest of its chord; so is the last, if several sound.
  const end = places.find(({ column }) => column === lastColumn)!;
  const [first, final] = [from, end].map(({ column, note }) => columns[column].notes[note]);
  if (sameClass(first.point, final.point)) return undefined;
  return {
    keyClass,
    letter: formatPlace(toNamePlace(first.point, origin)),
    from: noteName(first.point, origin),
    fromPoint: first.point,
    fromChord: columns[from.column].number,
    to: noteName(final.point, origin),
    toPoint: final.point,
    toChord: columns[end.column].number,
    ratio: withKeys(divide(final.point, first.point), 0),
    derivation: toDerivation(columns, from, end, origin),
  };
}
