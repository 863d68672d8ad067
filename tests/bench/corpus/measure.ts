import { centsAt } from './hear-track.js';
import type { HeardNote, Performance } from './heard.js';
import { foldCents } from './just.js';
import {
  addStrikes,
  createStrikeTally,
  type StrikeFigures,
  type StrikeTally,
  toStrikeFigures,
} from './strikes.js';

/** Sums over pieces; the figures come from them at the end. */
export interface Tally {
  notes: number;
  /** Time of written consonances, and of those that sound pure. In quarter notes. */
  pairQuarters: number;
  pureQuarters: number;
  /** Notes that came back within four quarters, how many of them landed elsewhere, squares of the distance. */
  comebacks: number;
  shifted: number;
  shiftedFar: number;
  shiftSquares: number;
  /** Squares of the pitch travelled while sounding, by note. */
  travelSquares: number;
  /** Squares of the body's distance from home, by time, and the farthest it got. */
  bodySquares: number;
  bodyQuarters: number;
  farthestCents: number;
  /** Sounding pairs, and those whose ratio is spelled as written. */
  pairs: number;
  spelledPairs: number;
  wireBytes: number;
  readonly strikes: StrikeTally;
}

/** The figures of a corpus under one rule, in percent and cents, as DEVELOPERS.md defines them. */
export interface Figures {
  readonly notes: number;
  readonly pure: number;
  readonly shifted: number;
  readonly worth: number;
  readonly shiftedFar: number;
  readonly shiftRms: number;
  readonly movedRms: number;
  readonly homeRms: number;
  readonly farthest: number;
  readonly spelled: number;
  readonly wireBytesPerNote: number;
  readonly strikes: StrikeFigures;
}

/** Written intervals that have to sound pure, by their distance on the line of fifths: key span and just size. */
const CONSONANCES: ReadonlyMap<number, readonly [keys: number, cents: number]> = new Map([
  [0, [0, 0]],
  [1, [7, 1200 * Math.log2(3 / 2)]],
  [-1, [5, 1200 * Math.log2(4 / 3)]],
  [4, [4, 1200 * Math.log2(5 / 4)]],
  [-4, [8, 1200 * Math.log2(8 / 5)]],
  [-3, [3, 1200 * Math.log2(6 / 5)]],
  [3, [9, 1200 * Math.log2(5 / 3)]],
]);
const PURE_WITHIN_CENTS = 1.5;
const SHIFTED_FROM_CENTS = 1;
const FAR_FROM_CENTS = 5;
const COMEBACK_QUARTERS = 4;
/** The attack masks what the pitch does this long. */
const MASKED_MS = 60;
/** Price of a shift in points of purity: the slope of what can be had. */
const SHIFT_PRICE = 0.15;

/** An empty tally. */
export function createTally(): Tally {
  return {
    notes: 0,
    pairQuarters: 0,
    pureQuarters: 0,
    comebacks: 0,
    shifted: 0,
    shiftedFar: 0,
    shiftSquares: 0,
    travelSquares: 0,
    bodySquares: 0,
    bodyQuarters: 0,
    farthestCents: 0,
    pairs: 0,
    spelledPairs: 0,
    wireBytes: 0,
    strikes: createStrikeTally(),
  };
}

/**
 * Adds a performance to the tally.
 *
 * @param placeOf place of a note's lattice point on the line of fifths, where the rule's own decisions are known
 */
export function addPerformance(
  tally: Tally,
  performance: Performance,
  placeOf?: (note: HeardNote) => number,
): void {
  const notes = performance.notes.slice().sort((a, b) => a.onTick - b.onTick);
  tally.notes += notes.length;
  tally.wireBytes += performance.wireBytes;
  addPairs(tally, notes, performance.ticksPerQuarter, placeOf);
  addComebacks(tally, notes, performance.ticksPerQuarter);
  addTravel(tally, notes, MASKED_MS / performance.msPerTick);
  addBody(tally, notes, performance.ticksPerQuarter, MASKED_MS / performance.msPerTick);
  addStrikes(tally.strikes, performance.strikes, performance.ticksPerQuarter);
}

/** The figures of a tally. */
export function toFigures(tally: Tally): Figures {
  const pure = (100 * tally.pureQuarters) / tally.pairQuarters;
  const shifted = (100 * tally.shifted) / tally.comebacks;
  return {
    notes: tally.notes,
    pure,
    shifted,
    worth: pure - SHIFT_PRICE * shifted,
    shiftedFar: (100 * tally.shiftedFar) / tally.comebacks,
    shiftRms: Math.sqrt(tally.shiftSquares / tally.comebacks),
    movedRms: Math.sqrt(tally.travelSquares / tally.notes),
    homeRms: Math.sqrt(tally.bodySquares / tally.bodyQuarters),
    farthest: tally.farthestCents,
    spelled: (100 * tally.spelledPairs) / tally.pairs,
    wireBytesPerNote: tally.wireBytes / tally.notes,
    strikes: toStrikeFigures(tally.strikes),
  };
}

function addPairs(
  tally: Tally,
  notes: readonly HeardNote[],
  ticksPerQuarter: number,
  placeOf?: (note: HeardNote) => number,
): void {
  for (let i = 0; i < notes.length; i++) {
    for (let j = i + 1; j < notes.length && notes[j].onTick < notes[i].offTick; j++) {
      const [low, high] = byStaff(notes[i], notes[j]);
      const until = Math.min(low.offTick, high.offTick);
      if (until <= notes[j].onTick) continue;
      const written = high.written.fifths - low.written.fifths;
      if (placeOf !== undefined) {
        tally.pairs += 1;
        if (placeOf(high) - placeOf(low) === written) tally.spelledPairs += 1;
      }
      const consonance = CONSONANCES.get(written);
      if (consonance === undefined || mod12(high.written.midi - low.written.midi) !== consonance[0]) continue;
      forEachStretch(low, high, notes[j].onTick, until, (ticks, lowCents, highCents) => {
        const quarters = ticks / ticksPerQuarter;
        tally.pairQuarters += quarters;
        if (Math.abs(foldCents(highCents - lowCents - consonance[1])) <= PURE_WITHIN_CENTS)
          tally.pureQuarters += quarters;
      });
    }
  }
}

/** The lower and the higher of two notes as they stand on the staff. */
function byStaff(a: HeardNote, b: HeardNote): [HeardNote, HeardNote] {
  const order = a.written.step - b.written.step || a.written.midi - b.written.midi;
  return order <= 0 ? [a, b] : [b, a];
}

function forEachStretch(
  a: HeardNote,
  b: HeardNote,
  from: number,
  until: number,
  visit: (ticks: number, aCents: number, bCents: number) => void,
): void {
  let at = from;
  while (at < until) {
    const next = Math.min(until, nextPoint(a, at), nextPoint(b, at));
    visit(next - at, centsAt(a, at), centsAt(b, at));
    at = next;
  }
}

function nextPoint(note: HeardNote, tick: number): number {
  for (const point of note.pitch) if (point.tick > tick) return point.tick;
  return Infinity;
}

function addComebacks(tally: Tally, notes: readonly HeardNote[], ticksPerQuarter: number): void {
  const last = new Map<number, HeardNote>();
  for (const note of notes) {
    const before = last.get(note.written.midi);
    if (before !== undefined && note.onTick - before.offTick <= COMEBACK_QUARTERS * ticksPerQuarter) {
      const cents = Math.abs(centsAt(note, note.onTick) - before.pitch[before.pitch.length - 1].cents);
      tally.comebacks += 1;
      tally.shiftSquares += cents * cents;
      if (cents > SHIFTED_FROM_CENTS) tally.shifted += 1;
      if (cents > FAR_FROM_CENTS) tally.shiftedFar += 1;
    }
    if (before === undefined || before.offTick <= note.offTick) last.set(note.written.midi, note);
  }
}

function addTravel(tally: Tally, notes: readonly HeardNote[], maskedTicks: number): void {
  for (const note of notes) {
    let travel = 0;
    let cents = centsAt(note, note.onTick + maskedTicks);
    for (const point of note.pitch) {
      if (point.tick <= note.onTick + maskedTicks) continue;
      travel += Math.abs(point.cents - cents);
      cents = point.cents;
    }
    tally.travelSquares += travel * travel;
  }
}

/** The body between one strike and the next change, once the attack and the glides that came with it are over. */
function addBody(
  tally: Tally,
  notes: readonly HeardNote[],
  ticksPerQuarter: number,
  maskedTicks: number,
): void {
  const strikes = [...new Set(notes.map((note) => note.onTick))].sort((a, b) => a - b);
  let first = 0;
  strikes.forEach((strike, i) => {
    while (first < notes.length && notes[first].offTick <= strike) first += 1;
    const sounding: HeardNote[] = [];
    for (let n = first; n < notes.length && notes[n].onTick <= strike; n++) {
      if (notes[n].offTick > strike) sounding.push(notes[n]);
    }
    const next = Math.min(strikes[i + 1] ?? Infinity, ...sounding.map((note) => note.offTick));
    const from = strike + 2 * maskedTicks;
    if (sounding.length === 0 || next <= from) return;
    const body =
      sounding.reduce((sum, note) => sum + centsAt(note, from) - 100 * note.written.midi, 0) /
      sounding.length;
    const quarters = (next - from) / ticksPerQuarter;
    tally.bodySquares += body * body * quarters;
    tally.bodyQuarters += quarters;
    tally.farthestCents = Math.max(tally.farthestCents, Math.abs(body));
  });
}

const mod12 = (keys: number): number => ((keys % 12) + 12) % 12;
