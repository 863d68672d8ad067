import { centsAt } from './hear-track.js';
import type { HeardNote } from './heard.js';
import { foldCents, JUST_BY_FIFTHS } from './just.js';

/**
 * Strikes by what could have been: moments at which notes are struck, and at least one written consonance with a new note
 * sounds.
 */
export interface StrikeTally {
  strikes: number;
  /** Those whose written consonances with the new notes could all be just, with no sounding note moved. */
  open: number;
  /** Of the open ones: those in which such a consonance is impure all the same. */
  avoidable: number;
  /** Of the open ones: those in which a fourth, fifth or octave is far off. */
  avoidableWolves: number;
  /** Of all: those in which some consonance with a new note is impure. */
  impure: number;
}

/** The same in percent: of all strikes, but the avoidable ones of those that are open. */
export interface StrikeFigures {
  readonly open: number;
  readonly avoidable: number;
  readonly avoidableWolf: number;
  readonly impure: number;
}

/** Ways to the same place may differ by this much: bends are rounded. */
const SAME_WITHIN_CENTS = 1;
const IMPURE_FROM_CENTS = 1.5;
const WOLF_FROM_CENTS = 10;
/** Pitch is read so long after the strike, when revisions and glides are done. */
const SETTLED_QUARTERS = 0.12;

/** An empty tally. */
export function createStrikeTally(): StrikeTally {
  return { strikes: 0, open: 0, avoidable: 0, avoidableWolves: 0, impure: 0 };
}

/** The figures of a tally. */
export function toStrikeFigures(tally: StrikeTally): StrikeFigures {
  return {
    open: (100 * tally.open) / tally.strikes,
    avoidable: (100 * tally.avoidable) / tally.open,
    avoidableWolf: (100 * tally.avoidableWolves) / tally.open,
    impure: (100 * tally.impure) / tally.strikes,
  };
}

/** Adds the strikes of a piece. The spelling says what is a consonance; nothing here knows a lattice. */
export function addStrikes(tally: StrikeTally, notes: readonly HeardNote[], ticksPerQuarter: number): void {
  const order = notes.slice().sort((a, b) => a.written.on - b.written.on);
  let sounding: HeardNote[] = [];
  let next = 0;
  for (const at of new Set(order.map(({ written }) => written.on))) {
    const held = sounding.filter(({ written }) => written.off > at + 1e-9);
    sounding = held.slice();
    for (; next < order.length && order[next].written.on <= at + 1e-9; next++) sounding.push(order[next]);
    if (sounding.length < 2) continue;
    const intervals = toIntervals(sounding);
    const isNew = (i: number) => i >= held.length;
    const asked = intervals.filter(({ from, to }) => isNew(from) || isNew(to));
    if (asked.length === 0) continue;
    tally.strikes += 1;
    const before = Math.round(at * ticksPerQuarter) - 1;
    const fixed = held.map((note) => centsAt(note, before));
    const after = Math.round((at + SETTLED_QUARTERS) * ticksPerQuarter);
    const faults = asked.map(({ from, to, cents }) =>
      Math.abs(foldCents(centsAt(sounding[to], after) - centsAt(sounding[from], after) - cents)),
    );
    const isImpure = faults.some((fault) => fault > IMPURE_FROM_CENTS);
    if (isImpure) tally.impure += 1;
    if (!canBeJust(intervals, fixed, sounding.length)) continue;
    tally.open += 1;
    if (isImpure) tally.avoidable += 1;
    if (faults.some((fault, i) => asked[i].isPerfect && fault > WOLF_FROM_CENTS)) tally.avoidableWolves += 1;
  }
}

/** A written consonance between two of the sounding notes, and its just size from the one up to the other. */
interface Interval {
  readonly from: number;
  readonly to: number;
  readonly cents: number;
  readonly isPerfect: boolean;
}

function toIntervals(notes: readonly HeardNote[]): Interval[] {
  return notes.flatMap((note, to) =>
    notes.slice(0, to).flatMap((other, from): Interval[] => {
      const fifths = note.written.fifths - other.written.fifths;
      const just = JUST_BY_FIFTHS.get(Math.abs(fifths));
      if (just === undefined) return [];
      return [{ from, to, cents: fifths >= 0 ? just : -just, isPerfect: Math.abs(fifths) <= 1 }];
    }),
  );
}

/**
 * Whether all intervals but those among held notes can be just at once.
 * @param fixed the pitches of the held notes, which come first
 */
function canBeJust(intervals: readonly Interval[], fixed: readonly number[], count: number): boolean {
  const ways: { to: number; cents: number }[][] = Array.from({ length: count }, () => []);
  for (const { from, to, cents } of intervals) {
    if (to < fixed.length) continue;
    ways[from].push({ to, cents });
    ways[to].push({ to: from, cents: -cents });
  }
  const places = new Map(fixed.entries());
  const open = [...places.keys()];
  for (let first = fixed.length; ; first++) {
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      for (const { to, cents } of ways[at]) {
        const wanted = places.get(at)! + cents;
        const place = places.get(to);
        if (place === undefined) {
          places.set(to, wanted);
          open.push(to);
        } else if (Math.abs(foldCents(wanted - place)) > SAME_WITHIN_CENTS) return false;
      }
    }
    while (first < count && places.has(first)) first++;
    if (first >= count) return true;
    // What hangs on nothing that sounds can stand anywhere.
    places.set(first, 0);
    open.push(first);
  }
}
