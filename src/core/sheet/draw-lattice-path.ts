import {
  type Box,
  type Drawing,
  findBonds,
  findSails,
  type LatticeKey,
  overlap,
  type Shape,
  toLatticeKey,
  toTextWidth,
  write,
} from '../drawing/index.js';
import { formatPower } from '../theory/index.js';
import type { LatticePath, PathStop } from './lattice-path.js';
import type { PathNode } from './path-nodes.js';
import { PEN } from './pen.js';

const SHADE = '#e6e6e6';
const TIP = 9;

/**
 * A part of the path: fifths to the right, major thirds up. Triads are shaded, arrows lead from number to number, and a
 * dashed line is the comma.
 */
export function drawLatticePath(path: LatticePath): Drawing {
  const { nodes, chords, stops, order, comma } = path;
  const shapes: Shape[] = [];
  // Notes by primes 11 and 13 are beside triads, not in them.
  const inTriads = nodes.filter(({ point }) => point[4] === 0 && point[5] === 0);
  const byKey = new Map(inTriads.map((node) => [String(toLatticeKey(node.point)), node]));
  const find = (key: LatticeKey) => byKey.get(String(key))!;
  const keys = chords.map((chord) =>
    chord.filter((node) => inTriads.includes(node)).map(({ point }) => toLatticeKey(point)),
  );
  for (const { corners } of keys.flatMap(findSails)) shapes.push(drawSail(corners.map(find)));
  for (const [from, to] of keys.flatMap(findBonds).map((ends) => ends.map(find))) {
    shapes.push({ kind: 'line', from: [from.x, from.y], to: [to.x, to.y], stroke: PEN.rule, thick: 1.4 });
  }
  order.forEach((at, i) => {
    const next = order[i + 1];
    if (next !== undefined) shapes.push(...drawStep(stops[at], stops[next]));
  });
  if (comma !== undefined) {
    const { from, to } = comma;
    shapes.push({
      kind: 'line',
      from: [from.x, from.y],
      to: [to.x, to.y],
      stroke: PEN.ink,
      thick: 3,
      dash: '2 6',
    });
  }
  for (const node of nodes) shapes.push(...drawNode(node));
  for (const stop of stops) shapes.push(...drawStop(stop));
  const label = comma === undefined ? undefined : drawComma(comma, [...nodes, ...stops]);
  shapes.push(...(label ?? []));
  shapes.push(write(4, path.height - 6, path.key, { size: PEN.small, fill: PEN.faint }));
  return { width: path.width, height: path.height, shapes };
}

function drawSail(corners: readonly PathNode[]): Shape {
  const [first, ...rest] = corners.map(({ x, y }) => [x, y] as const);
  return {
    kind: 'path',
    steps: [['M', ...first], ...rest.map((at) => ['L', ...at] as const), ['Z']],
    stroke: 'none',
    fill: SHADE,
  };
}

/** An arrow from the edge of one stop to the edge of the next. No two stops are in one place. */
function drawStep(from: PathStop, to: PathStop): Shape[] {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length = Math.hypot(dx, dy);
  const [ux, uy] = [dx / length, dy / length];
  const [x1, y1] = toEdge(from, ux, uy);
  const [x2, y2] = toEdge(to, -ux, -uy);
  if ((x2 - x1) * ux + (y2 - y1) * uy < TIP) return [];
  const [bx, by] = [x2 - ux * TIP, y2 - uy * TIP];
  return [
    { kind: 'line', from: [x1, y1], to: [bx, by], stroke: PEN.ink, thick: 2.2 },
    {
      kind: 'path',
      steps: [['M', x2, y2], ['L', bx - uy * 5, by + ux * 5], ['L', bx + uy * 5, by - ux * 5], ['Z']],
      stroke: PEN.ink,
      thick: 0.5,
      fill: PEN.ink,
    },
  ];
}

/** Where a line from a box's middle crosses its edge. */
function toEdge(box: Box & { x: number; y: number }, ux: number, uy: number): [number, number] {
  const [halfX, halfY] = [(box.right - box.left) / 2 + 1, (box.bottom - box.top) / 2 + 1];
  const reach = Math.min(halfX / Math.abs(ux), halfY / Math.abs(uy));
  return [box.x + ux * reach, box.y + uy * reach];
}

function drawNode({ x, y, left, right, name, isHome, isEnd }: PathNode): Shape[] {
  const box = (grow: number, thick: number): Shape => ({
    kind: 'box',
    x: left - grow,
    y: y - 14 - grow,
    width: right - left + 2 * grow,
    height: 28 + 2 * grow,
    fill: PEN.paper,
    round: 14 + grow,
    stroke: PEN.ink,
    thick,
  });
  const ring = isHome ? [box(4, 1.4)] : [];
  const words = write(x, y + 5.5, name, { size: PEN.ratio, fill: PEN.ink, anchor: 'middle', bold: isEnd });
  const home = isHome
    ? [write(x, y + 29, 'home', { size: PEN.small, fill: PEN.ink, anchor: 'middle', italic: true })]
    : [];
  return [...ring, box(0, isEnd ? 3 : 1.4), words, ...home];
}

function drawStop({ words, x, y, left, right, top, bottom }: PathStop): Shape[] {
  return [
    {
      kind: 'box',
      x: left,
      y: top,
      width: right - left,
      height: bottom - top,
      fill: PEN.ink,
      round: 11,
      stroke: PEN.paper,
      thick: 1.4,
    },
    write(x, y + 4.5, words, { size: PEN.small, fill: PEN.paper, anchor: 'middle', bold: true }),
  ];
}

/** The comma's ratio on its line, at a free place; undefined without one. */
function drawComma(
  { from, to, ratio }: NonNullable<LatticePath['comma']>,
  taken: readonly Box[],
): Shape[] | undefined {
  const words = formatPower(ratio);
  const half = toTextWidth(words, PEN.ratio, true) / 2 + 5;
  for (const share of [0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65, 0.3, 0.7, 0.25, 0.75]) {
    const [x, y] = [from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)];
    for (const aside of [0, -18, 18]) {
      const box = { left: x - half, right: x + half, top: y + aside - 12, bottom: y + aside + 12 };
      if (taken.some((other) => overlap(box, other))) continue;
      return [
        {
          kind: 'box',
          x: box.left,
          y: box.top,
          width: 2 * half,
          height: 24,
          fill: PEN.paper,
          stroke: PEN.ink,
          thick: 1.4,
        },
        write(x, y + aside + 5.5, words, { size: PEN.ratio, fill: PEN.ink, anchor: 'middle', bold: true }),
      ];
    }
  }
  return undefined;
}
