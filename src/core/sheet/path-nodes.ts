import { type Box, overlap, type Place, toLatticeKey, toPlace, toTextWidth } from '../drawing/index.js';
import { type PrimeVector, UNISON } from '../theory/index.js';
import { PEN, SHEET_WIDTH } from './pen.js';

/** A point of the lattice on the drawing, in its units. */
export interface PathNode extends Box {
  readonly point: PrimeVector;
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly isHome: boolean;
  /** It sounds in the last chord of the passage. */
  readonly isEnd: boolean;
}

type Label = Omit<PathNode, 'x' | 'y' | keyof Box>;

/**
 * Directions of primes 11 and 13; the others have the plane of the lattice. Of all directions to the right and to the
 * left, both downward, these separate intervals of up to four fifths, two thirds and one of each other prime best: no
 * fifth has to be longer than 141 for names to fit beside each other.
 */
const ELEVENTH: Place = { x: 0.62, y: 0.62 };
const THIRTEENTH: Place = { x: -0.44, y: 0.12 };
/**
 * Lengths of a fifth to try: the first that leaves room beside the drawing, or fits at all; else one that leaves names
 * room.
 */
const UNITS = [150, 130, 110, 96, 84, 76, 68, 62];
const LARGE_UNITS = [110, 140, 180, 240];
const MOST_HEIGHT = 460;
/** Share of a sheet's width left beside the comma found. */
const SHARE_BESIDE = 700 / SHEET_WIDTH;
/** In steps of a fifth. */
const NEAR_HOME = 1.4;
/** Room about the nodes. */
export const EDGE = { x: 40, top: 30, bottom: 34 };

/**
 * Points of the lattice in units of the drawing, as far apart as there is room for and without overlap. Five primes on
 * a plane can nearly coincide; then one point is moved aside.
 * @param sheetWidth how wide a sheet is
 */
export function toNodes(labels: readonly Label[], sheetWidth = SHEET_WIDTH): PathNode[] {
  const points = labels.map(({ point }) => point);
  const units = [
    ...UNITS.filter((unit) => isFitting(points, unit, SHARE_BESIDE * sheetWidth)),
    ...UNITS.filter((unit) => isFitting(points, unit, sheetWidth)),
    ...LARGE_UNITS,
  ];
  const unit = units.find((one) => !hasOverlap(toNodesBy(one, labels)));
  return unit === undefined
    ? toApart(toNodesBy(LARGE_UNITS[LARGE_UNITS.length - 1], labels))
    : toNodesBy(unit, labels);
}

/**
 * A box at its place, or as near to it as it fits without covering anything: in rings that grow without end.
 * @param toBox it, if its middle were there
 */
export function toFreeBox<B extends Box>(
  x: number,
  y: number,
  toBox: (x: number, y: number) => B,
  taken: readonly Box[],
): B {
  const isFree = (box: B) => box.left > 0 && box.top > 0 && !taken.some((other) => overlap(box, other));
  const there = toBox(x, y);
  if (isFree(there)) return there;
  const stepX = Math.max(8, (there.right - there.left) / 6);
  for (let ring = 1; ; ring++) {
    for (let turn = 0; turn < 12; turn++) {
      const angle = (turn * Math.PI) / 6 + Math.PI / 2;
      const box = toBox(x + ring * stepX * Math.cos(angle), y + ring * 8 * Math.sin(angle));
      if (isFree(box)) return box;
    }
  }
}

/** Whether points fit on one drawing. */
export function isRoomFor(points: readonly PrimeVector[], sheetWidth: number): boolean {
  return isFitting(points, UNITS[UNITS.length - 1], sheetWidth);
}

/** Whether home is near enough to some points to be drawn with them. */
export function isNearHome(points: readonly PrimeVector[]): boolean {
  const home = toPointPlace(UNISON);
  return points.map(toPointPlace).some(({ x, y }) => Math.hypot(x - home.x, y - home.y) < NEAR_HOME);
}

/** Each point once, octaves left out. */
export function uniquePoints(points: readonly PrimeVector[]): PrimeVector[] {
  return [...new Map(points.map((point) => [point.slice(1).join(' '), point])).values()];
}

/** The leftmost and the highest at the edges. */
function toNodesBy(unit: number, labels: readonly Label[]): PathNode[] {
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

/** Leaves points that overlap no other, and moves the rest as little as possible. */
function toApart(nodes: readonly PathNode[]): PathNode[] {
  const isAlone = (node: PathNode) => !nodes.some((other) => other !== node && overlap(node, other));
  const taken = nodes.filter(isAlone);
  return nodes.map((node) => {
    if (isAlone(node)) return node;
    const free = toFreeBox(node.x, node.y, (x, y) => moved(node, x, y), taken);
    taken.push(free);
    return free;
  });
}

function moved(node: PathNode, x: number, y: number): PathNode {
  const [dx, dy] = [x - node.x, y - node.y];
  const { left, right, top, bottom } = node;
  return { ...node, x, y, left: left + dx, right: right + dx, top: top + dy, bottom: bottom + dy };
}

function toPointPlace(point: PrimeVector): Place {
  const { x, y } = toPlace(toLatticeKey(point));
  return {
    x: x + point[4] * ELEVENTH.x + point[5] * THIRTEENTH.x,
    y: y + point[4] * ELEVENTH.y + point[5] * THIRTEENTH.y,
  };
}

function isFitting(points: readonly PrimeVector[], unit: number, width: number): boolean {
  const places = points.map(toPointPlace);
  const span = (of: (place: Place) => number) => Math.max(...places.map(of)) - Math.min(...places.map(of));
  return (
    span(({ x }) => x) * unit + 2 * EDGE.x + 60 <= width &&
    span(({ y }) => y) * unit + EDGE.top + EDGE.bottom + 32 <= MOST_HEIGHT
  );
}

function hasOverlap(nodes: readonly PathNode[]): boolean {
  return nodes.some((a, i) => nodes.slice(i + 1).some((b) => overlap(a, b)));
}
