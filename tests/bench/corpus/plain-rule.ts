import type { HeardNote, Performance } from './heard.js';
import type { Piece, WrittenNote } from './pieces.js';

/**
 * Two simple rules to be measured against, in primes 3 and 5, written apart from the tuner and sharing nothing with it.
 *
 * Each new note takes the ratio with the least weighted harmonic distance to all that sounds (weight 1) and to the last
 * note of each key class that ended (weight `recall`, fading over `recallSeconds`); notes struck together are chosen
 * jointly. The better of the two adds a price on a key class coming back elsewhere.
 */
export interface PlainRule {
  readonly recall: number;
  readonly recallSeconds: number;
  readonly price: number;
  readonly priceSeconds: number;
}

export const PLAIN_RULE: PlainRule = { recall: 0.15, recallSeconds: 2, price: 0, priceSeconds: 2 };
export const BETTER_PLAIN_RULE: PlainRule = { recall: 0.15, recallSeconds: 4, price: 0.3, priceSeconds: 2 };

type Point = readonly [threes: number, fives: number];

const LOG3 = Math.log2(3);
const LOG5 = Math.log2(5);
const THREE_CENTS = 1200 * LOG3 - 1900;
const FIVE_CENTS = 1200 * LOG5 - 2800;
const MAX_DISTANCE = 8.5;
const KEPT = 10;

const distance = (a: Point, b: Point): number => Math.abs(a[0] - b[0]) * LOG3 + Math.abs(a[1] - b[1]) * LOG5;
const deviation = (p: Point): number => p[0] * THREE_CENTS + p[1] * FIVE_CENTS;
const mod12 = (keys: number): number => ((keys % 12) + 12) % 12;

const INTERVALS: Point[][] = Array.from({ length: 12 }, () => []);
for (let threes = -6; threes <= 6; threes++) {
  for (let fives = -3; fives <= 3; fives++) {
    const point: Point = [threes, fives];
    if (Math.abs(deviation(point)) > 45 || distance(point, [0, 0]) > MAX_DISTANCE) continue;
    INTERVALS[mod12(7 * threes + 4 * fives)].push(point);
  }
}

interface Heard {
  readonly point: Point;
  readonly keyClass: number;
  readonly weight: number;
}

/** What a piece sounds like under a plain rule, drifting freely, at `secondsPerQuarter`. */
export function performPlainly(
  piece: Piece,
  rule: PlainRule,
  secondsPerQuarter: number,
): { performance: Performance; placeOf: (note: HeardNote) => number } {
  const points = choose(piece.notes, rule, secondsPerQuarter);
  const ticksPerQuarter = 480;
  const notes = piece.notes.map((written): HeardNote => {
    const onTick = Math.round(written.on * ticksPerQuarter);
    const offTick = Math.round(written.off * ticksPerQuarter);
    const cents = 100 * written.midi + deviation(points.get(written) as Point);
    return { written, onTick, offTick, pitch: [{ tick: onTick, cents }] };
  });
  const msPerTick = (1000 * secondsPerQuarter) / ticksPerQuarter;
  return {
    performance: { notes, strikes: notes, ticksPerQuarter, msPerTick, wireBytes: 0 },
    placeOf: ({ written }) => {
      const [threes, fives] = points.get(written) as Point;
      return threes + 4 * fives;
    },
  };
}

function choose(
  notes: readonly WrittenNote[],
  rule: PlainRule,
  secondsPerQuarter: number,
): Map<WrittenNote, Point> {
  const points = new Map<WrittenNote, Point>();
  const sounding = new Set<WrittenNote>();
  const ended = new Map<number, { point: Point; at: number }>();
  const onsets = [...new Set(notes.map((note) => note.on))].sort((a, b) => a - b);
  for (const onset of onsets) {
    const now = onset * secondsPerQuarter;
    for (const note of [...sounding].sort((a, b) => a.off - b.off)) {
      if (note.off > onset) continue;
      sounding.delete(note);
      ended.set(note.midi % 12, { point: points.get(note) as Point, at: note.off * secondsPerQuarter });
    }
    const struck = notes.filter((note) => note.on === onset);
    const heard: Heard[] = [];
    const last = new Map(ended);
    for (const note of sounding) {
      const point = points.get(note) as Point;
      heard.push({ point, keyClass: note.midi % 12, weight: 1 });
      last.set(note.midi % 12, { point, at: now });
    }
    for (const [keyClass, { point, at }] of ended) {
      heard.push({ point, keyClass, weight: rule.recall * Math.exp((at - now) / rule.recallSeconds) });
    }
    const first =
      heard.length === 0 ? [{ point: [0, 0] as Point, keyClass: struck[0].midi % 12, weight: 0 }] : heard;
    const classes = [...new Set(struck.map((note) => note.midi % 12))];
    const counts = classes.map((keyClass) => struck.filter((note) => note.midi % 12 === keyClass).length);
    const ranked = classes.map((keyClass) => rank(keyClass, first, last.get(keyClass), now, rule));
    const chosen = search(ranked, counts);
    for (const note of struck) {
      points.set(note, chosen[classes.indexOf(note.midi % 12)]);
      sounding.add(note);
    }
  }
  return points;
}

interface Ranked {
  readonly point: Point;
  readonly cost: number;
}

function rank(
  keyClass: number,
  heard: readonly Heard[],
  last: { point: Point; at: number } | undefined,
  now: number,
  rule: PlainRule,
): Ranked[] {
  const points = new Map<string, Point>();
  for (const { point, keyClass: from } of heard) {
    for (const [threes, fives] of INTERVALS[mod12(keyClass - from)]) {
      const candidate: Point = [point[0] + threes, point[1] + fives];
      points.set(candidate.join(), candidate);
    }
  }
  const ranked = [...points.values()].map((point) => {
    let cost = 0;
    for (const one of heard) cost += one.weight * distance(point, one.point);
    if (last !== undefined) {
      const away = Math.abs(deviation(point) - deviation(last.point));
      cost += rule.price * Math.exp((last.at - now) / rule.priceSeconds) * Math.min(3, away / 7);
    }
    return { point, cost };
  });
  return ranked.sort((a, b) => a.cost - b.cost).slice(0, KEPT);
}

function search(ranked: readonly Ranked[][], counts: readonly number[]): Point[] {
  const rest = ranked.map((_, i) =>
    ranked.slice(i).reduce((sum, list, k) => sum + counts[i + k] * list[0].cost, 0),
  );
  rest.push(0);
  let best = Infinity;
  let chosen: Point[] = [];
  const trial: Point[] = [];
  const place = (i: number, cost: number): void => {
    if (i === ranked.length) {
      best = cost;
      chosen = trial.slice();
      return;
    }
    for (const candidate of ranked[i]) {
      let sum = cost + counts[i] * candidate.cost;
      for (let j = 0; j < i; j++) sum += counts[i] * counts[j] * distance(candidate.point, trial[j]);
      if (sum + rest[i + 1] >= best) continue;
      trial[i] = candidate.point;
      place(i + 1, sum);
    }
  };
  place(0, 0);
  return chosen;
}
