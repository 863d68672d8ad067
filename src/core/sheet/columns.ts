import type { Moment, MomentNote } from '../score/index.js';
import {
  noteName,
  type Origin,
  type PrimeVector,
  toNamePlace,
  toOctave,
  toProportion,
  toSpelling,
} from '../theory/index.js';
import type { DeciderPresence } from '../tuner/index.js';
import { formatRatioOrCommas, formatReason, toHomeRatio } from '../words/index.js';

/** A strike of a piece, and its place in the metre. */
export interface BarMoment extends Moment {
  readonly bar: number;
  /** From 1; 2.5 is halfway between the second beat and the third. */
  readonly beat: number;
}

/** What a sheet is made from. */
export interface PassageSource {
  /** In the order of time; at least one. */
  readonly moments: readonly BarMoment[];
  /** The name of 1/1, and its key in the octave of middle C. */
  readonly origin: Origin;
  readonly originKey: number;
  /** Whether notes may be off their ratios, so that each one's cents are written. */
  readonly hasLeaning: boolean;
}

/** Why a note got its ratio, drawn as an arrow. */
export interface Decision {
  readonly presence: Exclude<DeciderPresence, 'first'>;
  /** This note ÷ the one that decided it. */
  readonly interval: PrimeVector;
  /** The deciding note: its name, and its index in this column; undefined for one that has ended. */
  readonly name: string;
  readonly from: number | undefined;
  /** It is the same point on the same key: the note came back to its old pitch. */
  readonly isSame: boolean;
}

/** A note of a column. */
export interface SheetNote extends MomentNote {
  /** Letter, octave and comma index. */
  readonly name: string;
  /** Lines and spaces above C0, by the letter; sharps, or flats if negative. */
  readonly staffStep: number;
  readonly alteration: number;
  readonly toBass: string;
  /** Octaves left out. */
  readonly toHome: string;
  readonly decision: Decision | undefined;
  /** The same in words, or that it is tied over. */
  readonly why: string;
  /** Index of the note of the column before that it continues, if it is tied over. */
  readonly tiedFrom: number | undefined;
  /** If it comes back elsewhere, its point ÷ the last point of its key class. */
  readonly returned: PrimeVector | undefined;
}

/** A chord of the passage: what sounds from one strike on, from the lowest note up. */
export interface SheetColumn {
  /** From 1. */
  readonly number: number;
  readonly bar: number;
  readonly beat: number;
  /** Whether a bar begins with it or before it. */
  readonly startsBar: boolean;
  readonly notes: readonly SheetNote[];
  /** Its notes as one proportion, each pitch once; undefined where its terms are large. */
  readonly proportion: string | undefined;
  /** How far the harmony has moved on the lattice since the piece began. */
  readonly drift: PrimeVector;
  readonly fromHomeCents: number;
}

/** The chords of a passage, in the order of time. */
export function toColumns(source: PassageSource): SheetColumn[] {
  const columns: SheetColumn[] = [];
  for (const moment of source.moments) columns.push(toColumn(moment, columns.at(-1), source));
  return columns;
}

function toColumn(moment: BarMoment, before: SheetColumn | undefined, source: PassageSource): SheetColumn {
  const { bar, beat, drift } = moment;
  const returns = new Map<number, PrimeVector>();
  for (const entry of moment.entries) {
    if (entry.kind === 'return') returns.set(entry.key % 12, entry.ratio);
  }
  const pitches = new Map(moment.notes.map(({ key, point }) => [key, point]));
  return {
    number: (before?.number ?? 0) + 1,
    bar,
    beat,
    startsBar: before === undefined || before.bar !== bar,
    notes: moment.notes.map((note, i) => toNote(note, i, moment, before, returns, source)),
    proportion: toProportion([...pitches.values()]),
    drift: drift.commas,
    fromHomeCents: moment.fromHomeCents,
  };
}

function toNote(
  note: MomentNote,
  index: number,
  { notes }: BarMoment,
  before: SheetColumn | undefined,
  returns: ReadonlyMap<number, PrimeVector>,
  { origin, originKey }: PassageSource,
): SheetNote {
  const { key, point, presence } = note;
  const spelling = toSpelling(toNamePlace(point, origin));
  const isStruck = presence === 'struck';
  return {
    ...note,
    name: noteName(point, origin, { key }),
    staffStep: 7 * toOctave(key, spelling) + 'CDEFGAB'.indexOf(spelling.letter),
    alteration: spelling.alteration,
    toBass: formatRatioOrCommas(note.fromBass),
    toHome: formatRatioOrCommas(toHomeRatio({ originKey }, point, key)),
    decision: isStruck ? toDecision(note, index, notes, origin) : undefined,
    why: formatReason(note, notes, origin),
    tiedFrom: isStruck ? undefined : findTied(note, before),
    returned: isStruck ? returns.get(key % 12) : undefined,
  };
}

function toDecision(
  { key, reason }: MomentNote,
  index: number,
  notes: readonly MomentNote[],
  origin: Origin,
): Decision | undefined {
  const { presence, interval, deciderKey, deciderPoint } = reason;
  if (presence === 'first') return undefined;
  // A note that has ended isn't part of the chord, even if its key was struck again: notes struck with this one count
  // as struck, notes held before it don't count.
  const isThere = (other: MomentNote) =>
    presence !== 'recalled' && (other.presence === 'struck') === (presence === 'together');
  const from = notes.findIndex(
    (other, i) =>
      i !== index && other.key === deciderKey && isPoint(other.point, deciderPoint) && isThere(other),
  );
  return {
    presence,
    interval,
    name: noteName(deciderPoint, origin, { key: deciderKey }),
    from: from < 0 ? undefined : from,
    isSame: key === deciderKey && interval.every((exponent) => exponent === 0),
  };
}

function isPoint(a: PrimeVector, b: PrimeVector): boolean {
  return a.every((exponent, i) => i === 0 || exponent === b[i]);
}

/** A sounding note has the same point as in the chord before. */
function findTied({ key, part, point }: MomentNote, before: SheetColumn | undefined): number | undefined {
  return before?.notes.findIndex(
    (other) => other.key === key && other.part === part && isPoint(other.point, point),
  );
}
