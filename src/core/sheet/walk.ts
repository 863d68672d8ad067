import { type Box, overlap, type Place, toLatticeKey, toPlace, toTextWidth } from '../drawing/index.js';
import { noteName, type PrimeVector, sameClass, UNISON } from '../theory/index.js';
import type { SheetColumn } from './columns.js';
import type { Passage } from './passage.js';
import { PEN, SHEET_WIDTH } from './pen.js';

/** A point of the lattice on the drawing, in its units. */
export interface WalkNode extends Box {
  readonly point: PrimeVector;
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly isHome: boolean;
  /** It sounds in the last chord of the passage. */
  readonly isEnd: boolean;
}

/** Where the walk rests: the chords that sound there. */
export interface WalkStop extends Box {
  readonly words: string;
  readonly x: number;
  readonly y: number;
}

/** A part of the walk, on a drawing of its own. */
export interface Walk {
  readonly firstChord: number;
  readonly lastChord: number;
  readonly width: number;
  readonly height: number;
  readonly nodes: readonly WalkNode[];
  /** Chords as the nodes they sound on, each set once. */
  readonly chords: readonly (readonly WalkNode[])[];
  readonly stops: readonly WalkStop[];
  /** Which stops follow one another. */
  readonly path: readonly number[];
  /** The comma: from where a key class first stood to where it stands at the end. */
  readonly comma: { readonly from: WalkNode; readonly to: WalkNode; readonly ratio: PrimeVector } | undefined;
}

/** Chords on the same points, one after another. */
interface Rest {
  readonly numbers: number[];
  readonly points: readonly PrimeVector[];
}

/** Which way primes 11 and 13 go; the others have the plane of the lattice. */
const ELEVENTH: Place = { x: 0.68, y: 0.46 };
const THIRTEENTH: Place = { x: -0.3, y: 0.5 };
/** How long a fifth is drawn: the first that leaves room beside it, or fits at all; or else that leaves names room. */
const UNITS = [150, 130, 110, 96, 84, 76, 68, 62];
const LARGE_UNITS = [110, 140, 180, 240, 320, 480];
const MOST_HEIGHT = 460;
const WIDTH_BESIDE = 700;
/** In steps of a fifth. */
const NEAR_HOME = 1.8;
const MOST_RESTS = 16;
const EDGE = { x: 40, top: 30, bottom: 34 };

/** The walk of a passage over the lattice, on as many drawings as it needs; each goes on from where the last one ended. */
export function toWalks(passage: Passage): Walk[] {
  const rests = toRests(passage.columns);
  const greedy = toParts(rests, MOST_RESTS);
  // As long as each other, if that needs no more.
  const even = toParts(rests, Math.ceil((rests.length + greedy.length - 1) / greedy.length));
  const parts = even.length > greedy.length ? greedy : even;
  return parts.map((part, i) => toWalk(part, passage, i === parts.length - 1));
}

/** @param most how many rests a part has at most */
function toParts(rests: readonly Rest[], most: number): Rest[][] {
  const least = UNITS[UNITS.length - 1];
  const parts: Rest[][] = [];
  for (const rest of rests) {
    const open = parts.at(-1);
    const last = open?.at(-1);
    if (open === undefined || last === undefined) parts.push([rest]);
    else if (open.length < most && isFitting(toPoints([...open, rest]), least)) open.push(rest);
    else parts.push([last, rest]);
  }
  return parts;
}

function toRests(columns: readonly SheetColumn[]): Rest[] {
  const rests: Rest[] = [];
  for (const { number, notes } of columns) {
    const points = uniquePoints(notes.map(({ point }) => point));
    const before = rests.at(-1);
    if (before !== undefined && toKey(points) === toKey(before.points)) before.numbers.push(number);
    else rests.push({ numbers: [number], points });
  }
  return rests;
}

function toWalk(rests: readonly Rest[], { found, origin, columns }: Passage, isLast: boolean): Walk {
  let points = toPoints(rests);
  const offer = (more: readonly PrimeVector[]) => {
    const together = uniquePoints([...points, ...more]);
    const fits = isFitting(together, UNITS[UNITS.length - 1]);
    if (fits) points = together;
    return fits;
  };
  const { shown } = found;
  const hasComma = isLast && shown !== undefined && offer([shown.fromPoint, shown.toPoint]);
  // Far from home it would only make the rest small.
  const home = toPointPlace(UNISON);
  const isNear = points.map(toPointPlace).some(({ x, y }) => Math.hypot(x - home.x, y - home.y) < NEAR_HOME);
  if (isNear) offer([UNISON]);

  const end = isLast ? (columns.at(-1)?.notes ?? []) : [];
  const labels = points.map((point) => ({
    point,
    name: noteName(point, origin),
    isHome: sameClass(point, UNISON),
    isEnd: end.some((note) => sameClass(note.point, point)),
  }));
  const unit =
    [
      ...UNITS.filter((one) => isFitting(points, one, WIDTH_BESIDE)),
      ...UNITS.filter((one) => isFitting(points, one)),
      ...LARGE_UNITS,
    ].find((one) => !hasOverlap(toNodes(labels, one))) ?? LARGE_UNITS[LARGE_UNITS.length - 1];
  const nodes = toNodes(labels, unit);
  const find = (point: PrimeVector) => nodes.find((node) => sameClass(node.point, point)) ?? nodes[0];
  const chords = rests.map((rest) => rest.points.map(find));
  const { stops, path } = toStops(rests, chords, nodes, isLast);
  const boxes = [...nodes, ...stops];
  return {
    firstChord: rests[0].numbers[0],
    lastChord: rests[rests.length - 1].numbers.at(-1) ?? 1,
    width: Math.max(...boxes.map(({ right }) => right)) + EDGE.x / 2,
    height: Math.max(...boxes.map(({ bottom }) => bottom)) + EDGE.bottom,
    nodes,
    chords: [...new Map(chords.map((chord, i) => [toKey(rests[i].points), chord])).values()],
    stops,
    path,
    comma:
      hasComma && shown !== undefined
        ? { from: find(shown.fromPoint), to: find(shown.toPoint), ratio: shown.ratio }
        : undefined,
  };
}

/** Nodes in units of the drawing, the leftmost and the highest at its edges. */
function toNodes(labels: readonly Omit<WalkNode, 'x' | 'y' | keyof Box>[], unit: number): WalkNode[] {
  const places = labels.map(({ point }) => toPointPlace(point));
  const left = Math.min(...places.map(({ x }) => x));
  const top = Math.min(...places.map(({ y }) => y));
  return labels.map((label, i) => {
    const half = Math.max(20, toTextWidth(label.name, PEN.ratio, true) / 2 + 6);
    const x = EDGE.x + 14 + (places[i].x - left) * unit;
    const y = EDGE.top + 16 + (places[i].y - top) * unit;
    // Home has its word below it.
    return {
      ...label,
      x,
      y,
      left: x - half,
      right: x + half,
      top: y - 14,
      bottom: y + (label.isHome ? 30 : 14),
    };
  });
}

/** One stop for each set of points, at the middle of its chord or as near to it as there is room. */
function toStops(
  rests: readonly Rest[],
  chords: readonly (readonly WalkNode[])[],
  nodes: readonly WalkNode[],
  isLast: boolean,
): { stops: WalkStop[]; path: number[] } {
  const keys = [...new Set(rests.map(({ points }) => toKey(points)))];
  const path = rests.map(({ points }) => keys.indexOf(toKey(points)));
  const stops: WalkStop[] = [];
  keys.forEach((key, index) => {
    const chord = chords[path.indexOf(index)];
    const numbers = rests.filter(({ points }) => toKey(points) === key).flatMap((rest) => rest.numbers);
    const endsHere = isLast && path.at(-1) === index;
    const words = `${formatNumbers(numbers)}${endsHere ? ' end' : ''}`;
    const half = Math.max(11, toTextWidth(words, PEN.small, true) / 2 + 6);
    const mean = (of: (node: WalkNode) => number) =>
      chord.reduce((sum, node) => sum + of(node), 0) / chord.length;
    const [middleX, middleY] = [mean(({ x }) => x), mean(({ y }) => y)];
    const taken: readonly Box[] = [...nodes, ...stops];
    const toStop = (x: number, y: number): WalkStop => ({
      words,
      x,
      y,
      left: x - half,
      right: x + half,
      top: y - 11,
      bottom: y + 11,
    });
    const stop = around(middleX, middleY, half)
      .map(([x, y]) => toStop(x, y))
      .find((one) => one.left > 0 && one.top > 0 && !taken.some((other) => overlap(one, other)));
    stops.push(stop ?? toStop(middleX, Math.max(...taken.map(({ bottom }) => bottom)) + 14));
  });
  return { stops, path };
}

/** Places in growing rings about one. */
function around(x: number, y: number, half: number): [number, number][] {
  const places: [number, number][] = [[x, y]];
  for (let ring = 1; ring <= 12; ring++) {
    for (let turn = 0; turn < 12; turn++) {
      const angle = (turn * Math.PI) / 6 + Math.PI / 2;
      places.push([x + ring * Math.max(8, half / 3) * Math.cos(angle), y + ring * 8 * Math.sin(angle)]);
    }
  }
  return places;
}

/**
 * Numbers in a row, neighbours as a range.
 * @example formatNumbers([1, 4, 5, 6, 9])  // '1, 4–6, 9'
 */
export function formatNumbers(numbers: readonly number[]): string {
  const ranges: [number, number][] = [];
  for (const number of numbers) {
    const last = ranges.at(-1);
    if (last !== undefined && last[1] === number - 1) last[1] = number;
    else ranges.push([number, number]);
  }
  return ranges.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(', ');
}

function toPointPlace(point: PrimeVector): Place {
  const { x, y } = toPlace(toLatticeKey(point));
  return {
    x: x + point[4] * ELEVENTH.x + point[5] * THIRTEENTH.x,
    y: y + point[4] * ELEVENTH.y + point[5] * THIRTEENTH.y,
  };
}

function isFitting(points: readonly PrimeVector[], unit: number, width = SHEET_WIDTH): boolean {
  const places = points.map(toPointPlace);
  const span = (of: (place: Place) => number) => Math.max(...places.map(of)) - Math.min(...places.map(of));
  return (
    span(({ x }) => x) * unit + 2 * EDGE.x + 60 <= width &&
    span(({ y }) => y) * unit + EDGE.top + EDGE.bottom + 32 <= MOST_HEIGHT
  );
}

function hasOverlap(nodes: readonly WalkNode[]): boolean {
  return nodes.some((a, i) => nodes.slice(i + 1).some((b) => overlap(a, b)));
}

function toPoints(rests: readonly Rest[]): PrimeVector[] {
  return uniquePoints(rests.flatMap(({ points }) => points));
}

function uniquePoints(points: readonly PrimeVector[]): PrimeVector[] {
  return [...new Map(points.map((point) => [point.slice(1).join(' '), point])).values()];
}

/** The same for the same set of points, octaves left out. */
function toKey(points: readonly PrimeVector[]): string {
  return points
    .map((point) => point.slice(1).join(' '))
    .sort()
    .join(', ');
}
