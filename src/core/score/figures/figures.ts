import { BEATING, type BeatingInterval, toBeats, toPartials, toRoughness, widen } from './beats.js';
import type { HeardNote } from './heard-note.js';
import { forEachStretch, type Standing } from './stretches.js';

/** How pure a piece was, what that cost, and how it sounded. */
export interface PieceFigures {
  readonly notes: number;
  /** Share of time that unisons, thirds, fourths, fifths and sixths, by their keys, were pure. */
  readonly purePercent: number;
  /** Of the notes that come back soon, how many landed elsewhere; and how far, root of the mean square. */
  readonly shiftedPercent: number;
  readonly shiftRmsCents: number;
  /** How far a note travels while it sounds, root of the mean square. */
  readonly glideRmsCents: number;
  /** All that notes travelled, by gliding and by coming back elsewhere. */
  readonly travelCents: number;
  /** How far the mean of the sounding notes was from home: root of the mean square, and at most. */
  readonly homeRmsCents: number;
  readonly farthestCents: number;
  /** Mean beats a second of each held interval, also octaves wider; null where there is none. */
  readonly beats: Readonly<Record<BeatingInterval['name'], number | null>>;
  readonly roughness: number;
}

/** Just sizes of the consonances by their keys, octaves left out: 6/5, 5/4, 4/3 and their inversions. */
const CONSONANCES: ReadonlyMap<number, number> = new Map(
  [
    [0, 1],
    [3, 6 / 5],
    [4, 5 / 4],
    [5, 4 / 3],
    [7, 3 / 2],
    [8, 8 / 5],
    [9, 5 / 3],
  ].map(([keys, ratio]) => [keys, 1200 * Math.log2(ratio)]),
);
const PURE_WITHIN_CENTS = 1.5;
const SHIFTED_FROM_CENTS = 1;
const COMEBACK_MS = 4000;
/** The attack masks pitch changes for this long. */
const MASKED_MS = 60;
/** An interval is held if it sounds at least this long: its beats aren't heard before. */
const HELD_MS = 400;

/**
 * The figures of a performance.
 *
 * @param notes in the order they were struck
 * @param toHomeCents home's pitch of a key, as cents off 12 equal at A = 440 Hz
 */
export function toPieceFigures(
  notes: readonly HeardNote[],
  toHomeCents: (key: number) => number,
): PieceFigures {
  const [pure, body, rough] = [new Mean(), new Mean(), new Mean()];
  const beats = new Map(BEATING.map(({ name }) => [name, new Mean()]));
  let farthestCents = 0;
  forEachStretch(notes, (fromMs, untilMs, sounding) => {
    const ms = untilMs - fromMs;
    const away = toMeanCents(sounding, toHomeCents);
    body.add(away * away, ms);
    farthestCents = Math.max(farthestCents, Math.abs(away));
    rough.add(toRoughness(toPartials(sounding.map(({ cents }) => cents))), ms);
    forEachPair(sounding, (low, high) => {
      const keys = high.note.key - low.note.key;
      const isPure = isPurePair(low, high);
      if (isPure !== undefined) pure.add(isPure ? 1 : 0, ms);
      const beating = BEATING.find((one) => one.keys === keys % 12);
      if (beating === undefined || !isHeld(low.note, high.note)) return;
      const { upper, lower } = widen(beating, Math.floor(keys / 12));
      beats.get(beating.name)?.add(toBeats(low.cents, high.cents, upper, lower), ms);
    });
  });
  const shifts = toShifts(notes);
  const glides = notes.map(toGlide);
  const beatsOf = (name: BeatingInterval['name']) => beats.get(name)?.value ?? null;
  return {
    notes: notes.length,
    purePercent: 100 * (pure.value ?? 1),
    shiftedPercent:
      shifts.length === 0
        ? 0
        : (100 * shifts.filter((cents) => cents > SHIFTED_FROM_CENTS).length) / shifts.length,
    shiftRmsCents: toRms(shifts),
    glideRmsCents: toRms(glides),
    travelCents: sum(shifts) + sum(glides),
    homeRmsCents: Math.sqrt(body.value ?? 0),
    farthestCents,
    beats: {
      'minor third': beatsOf('minor third'),
      'major third': beatsOf('major third'),
      fifth: beatsOf('fifth'),
    },
    roughness: rough.value ?? 0,
  };
}

/** How far the mean of what sounds is from home. */
export function toMeanCents(sounding: readonly Standing[], toHomeCents: (key: number) => number): number {
  return (
    sum(sounding.map(({ note, cents }) => cents - 100 * note.key - toHomeCents(note.key))) / sounding.length
  );
}

/** Share of the sounding consonances that are pure, 0 to 1; undefined where none sounds. */
export function toPureShare(sounding: readonly Standing[]): number | undefined {
  const pure = new Mean();
  forEachPair(sounding, (low, high) => {
    const isPure = isPurePair(low, high);
    if (isPure !== undefined) pure.add(isPure ? 1 : 0, 1);
  });
  return pure.value;
}

/** Whether a consonance is pure; undefined for any other interval. */
function isPurePair(low: Standing, high: Standing): boolean | undefined {
  const keys = high.note.key - low.note.key;
  const size = CONSONANCES.get(keys % 12);
  if (size === undefined) return undefined;
  return Math.abs(high.cents - low.cents - size - 1200 * Math.floor(keys / 12)) <= PURE_WITHIN_CENTS;
}

function forEachPair(sounding: readonly Standing[], visit: (low: Standing, high: Standing) => void): void {
  for (let i = 0; i < sounding.length; i++) {
    for (let j = i + 1; j < sounding.length; j++) {
      const [a, b] = [sounding[i], sounding[j]];
      if (a.note.key <= b.note.key) visit(a, b);
      else visit(b, a);
    }
  }
}

function isHeld(a: HeardNote, b: HeardNote): boolean {
  return Math.min(a.offMs, b.offMs) - Math.max(a.onMs, b.onMs) >= HELD_MS;
}

/** The distance of each note that comes back on its key within `COMEBACK_MS` from where it ended. */
function toShifts(notes: readonly HeardNote[]): number[] {
  const shifts: number[] = [];
  const last = new Map<number, HeardNote>();
  for (const note of notes) {
    const before = last.get(note.key);
    if (before !== undefined && note.onMs - before.offMs <= COMEBACK_MS) {
      shifts.push(Math.abs(note.pitch[0].cents - before.pitch[before.pitch.length - 1].cents));
    }
    if (before === undefined || before.offMs <= note.offMs) last.set(note.key, note);
  }
  return shifts;
}

/** How far a note travels after its attack. */
function toGlide({ onMs, pitch }: HeardNote): number {
  let travel = 0;
  for (let i = 1; i < pitch.length; i++) {
    if (pitch[i].atMs > onMs + MASKED_MS) travel += Math.abs(pitch[i].cents - pitch[i - 1].cents);
  }
  return travel;
}

class Mean {
  #sum = 0;
  #weight = 0;

  add(value: number, weight: number): void {
    this.#sum += value * weight;
    this.#weight += weight;
  }

  get value(): number | undefined {
    return this.#weight === 0 ? undefined : this.#sum / this.#weight;
  }
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function toRms(values: readonly number[]): number {
  return values.length === 0 ? 0 : Math.sqrt(sum(values.map((value) => value * value)) / values.length);
}

/** The course of a performance over time: columns of equal length, one row for each time step. */
export interface Course {
  /** Middle of each time step. */
  readonly atMs: readonly number[];
  /** Mean distance from home, in cents; null in silence. */
  readonly meanCents: readonly (number | null)[];
  /** Share of the consonances that were pure, 0 to 1; null where none sounded. */
  readonly pure: readonly (number | null)[];
}

/**
 * The course of a performance in time steps of equal length, each with the mean over it. `atMs` is the middle of
 * each step; cents and share are null where nothing sounds.
 *
 * @param rows how many time steps
 * @param lengthMs how long the performance is, in milliseconds
 */
export function toCourse(
  notes: readonly HeardNote[],
  toHomeCents: (key: number) => number,
  lengthMs: number,
  rows: number,
): Course {
  const width = Math.max(lengthMs, 1) / rows;
  const [cents, centsMs, pure, pureMs] = Array.from({ length: 4 }, () => new Float64Array(rows));
  forEachStretch(notes, (fromMs, untilMs, sounding) => {
    const away = toMeanCents(sounding, toHomeCents);
    const share = toPureShare(sounding);
    const last = Math.min(rows - 1, Math.floor(untilMs / width));
    for (let row = Math.min(rows - 1, Math.floor(fromMs / width)); row <= last; row++) {
      const ms = Math.min(untilMs, (row + 1) * width) - Math.max(fromMs, row * width);
      if (ms <= 0) continue;
      cents[row] += away * ms;
      centsMs[row] += ms;
      if (share === undefined) continue;
      pure[row] += share * ms;
      pureMs[row] += ms;
    }
  });
  const mean = (sums: Float64Array, weights: Float64Array) =>
    Array.from(sums, (sum, row) => (weights[row] === 0 ? null : sum / weights[row]));
  return {
    atMs: Array.from({ length: rows }, (_, row) => (row + 0.5) * width),
    meanCents: mean(cents, centsMs),
    pure: mean(pure, pureMs),
  };
}
