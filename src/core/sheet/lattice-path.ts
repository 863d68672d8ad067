import { type Box, toTextWidth } from '../drawing/index.js';
import { noteName, type PrimeVector, sameClass, UNISON } from '../theory/index.js';
import { formatNumbers } from '../words/index.js';
import type { SheetColumn } from './columns.js';
import type { Passage } from './passage.js';
import {
  EDGE,
  isNearHome,
  isRoomFor,
  type PathNode,
  toFreeBox,
  toNodes,
  uniquePoints,
} from './path-nodes.js';
import { PEN, SHEET_WIDTH } from './pen.js';

/** A numbered place of the path: the chords on its points. */
export interface PathStop extends Box {
  readonly words: string;
  readonly x: number;
  readonly y: number;
}

/** A part of the path, on a separate drawing. */
export interface LatticePath {
  /** The meaning of its directions, and where home is if it isn't shown. */
  readonly key: string;
  readonly firstChord: number;
  readonly lastChord: number;
  readonly width: number;
  readonly height: number;
  readonly nodes: readonly PathNode[];
  /** Chords as the nodes they sound on, each once. */
  readonly chords: readonly (readonly PathNode[])[];
  readonly stops: readonly PathStop[];
  /** Indices of the stops in the order of the path. */
  readonly order: readonly number[];
  /** The comma: from the first point of a key class to its last. */
  readonly comma: { readonly from: PathNode; readonly to: PathNode; readonly ratio: PrimeVector } | undefined;
}

interface Rest {
  readonly numbers: number[];
  readonly points: readonly PrimeVector[];
}

const MOST_RESTS = 16;

/**
 * The path of a passage over the lattice, on as many drawings as it needs; each continues where the last one ended.
 * @param sheetWidth no drawing is wider
 */
export function toLatticePaths(passage: Passage, sheetWidth = SHEET_WIDTH): LatticePath[] {
  const rests = toRests(passage.columns);
  const greedy = toParts(rests, MOST_RESTS, sheetWidth);
  // Of equal length, if that needs no more.
  const most = Math.ceil((rests.length + greedy.length - 1) / greedy.length);
  const even = toParts(rests, most, sheetWidth);
  const parts = even.length > greedy.length ? greedy : even;
  return parts.map((part, i) => toLatticePath(part, passage, i === parts.length - 1, sheetWidth));
}

/**
 * @param most the most rests of a part
 */
function toParts(rests: readonly Rest[], most: number, sheetWidth: number): Rest[][] {
  const parts: Rest[][] = [];
  for (const rest of rests) {
    const open = parts.at(-1);
    const last = open?.at(-1);
    if (open === undefined || last === undefined) parts.push([rest]);
    else if (open.length < most && isRoomFor(toPoints([...open, rest]), sheetWidth)) open.push(rest);
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

function toLatticePath(
  rests: readonly Rest[],
  { found, origin, columns }: Passage,
  isLast: boolean,
  sheetWidth: number,
): LatticePath {
  let points = toPoints(rests);
  const offer = (more: readonly PrimeVector[]) => {
    const together = uniquePoints([...points, ...more]);
    const fits = isRoomFor(together, sheetWidth);
    if (fits) points = together;
    return fits;
  };
  const { shown } = found;
  const hasComma = isLast && shown !== undefined && offer([shown.fromPoint, shown.toPoint]);
  // Home far away would only make the rest small.
  if (isNearHome(points)) offer([UNISON]);

  const end = isLast ? columns[columns.length - 1].notes : [];
  const labels = points.map((point) => ({
    point,
    name: noteName(point, origin),
    isHome: sameClass(point, UNISON),
    isEnd: end.some((note) => sameClass(note.point, point)),
  }));
  const nodes = toNodes(labels, sheetWidth);
  const find = (point: PrimeVector) => nodes.find((node) => sameClass(node.point, point))!;
  const chords = rests.map((rest) => rest.points.map(find));
  const { stops, order } = toStops(rests, chords, nodes, isLast);
  const boxes = [...nodes, ...stops];
  const key = toDirections(nodes, noteName(UNISON, origin));
  return {
    key,
    firstChord: rests[0].numbers[0],
    lastChord: rests.at(-1)!.numbers.at(-1)!,
    width: Math.max(toTextWidth(key, PEN.small) + 8, ...boxes.map(({ right }) => right + EDGE.x / 2)),
    height: Math.max(...boxes.map(({ bottom }) => bottom)) + EDGE.bottom,
    nodes,
    chords: [...new Map(chords.map((chord, i) => [toKey(rests[i].points), chord])).values()],
    stops,
    order,
    comma:
      hasComma && shown !== undefined
        ? { from: find(shown.fromPoint), to: find(shown.toPoint), ratio: shown.ratio }
        : undefined,
  };
}

function toDirections(nodes: readonly PathNode[], home: string): string {
  const has = (prime: number) => nodes.some(({ point }) => point[prime] !== 0);
  return [
    '→ fifth 3/2',
    '↑ third 5/4',
    ...(has(3) ? ['↘ seventh 7/4'] : []),
    ...(has(4) ? ['11/8 further down right'] : []),
    ...(has(5) ? ['13/8 left'] : []),
    ...(nodes.some(({ isHome }) => isHome) ? [] : [`home, ${home}, lies beyond`]),
  ].join(' · ');
}

/** One stop for each set of points, as near the middle of its chord as there is room. */
function toStops(
  rests: readonly Rest[],
  chords: readonly (readonly PathNode[])[],
  nodes: readonly PathNode[],
  isLast: boolean,
): { stops: PathStop[]; order: number[] } {
  const keys = [...new Set(rests.map(({ points }) => toKey(points)))];
  const order = rests.map(({ points }) => keys.indexOf(toKey(points)));
  const stops: PathStop[] = [];
  keys.forEach((key, index) => {
    const chord = chords[order.indexOf(index)];
    const numbers = rests.filter(({ points }) => toKey(points) === key).flatMap((rest) => rest.numbers);
    const endsHere = isLast && order.at(-1) === index;
    const words = `${formatNumbers(numbers)}${endsHere ? ' end' : ''}`;
    const half = Math.max(11, toTextWidth(words, PEN.small, true) / 2 + 6);
    const mean = (of: (node: PathNode) => number) =>
      chord.reduce((sum, node) => sum + of(node), 0) / chord.length;
    const [middleX, middleY] = [mean(({ x }) => x), mean(({ y }) => y)];
    const toStop = (x: number, y: number): PathStop => ({
      words,
      x,
      y,
      left: x - half,
      right: x + half,
      top: y - 11,
      bottom: y + 11,
    });
    stops.push(toFreeBox(middleX, middleY, toStop, [...nodes, ...stops]));
  });
  return { stops, order };
}

function toPoints(rests: readonly Rest[]): PrimeVector[] {
  return uniquePoints(rests.flatMap(({ points }) => points));
}

/** Equal for equal sets of points, octaves left out. */
function toKey(points: readonly PrimeVector[]): string {
  return points
    .map((point) => point.slice(1).join(' '))
    .sort()
    .join(', ');
}
