import type { Shape } from '../drawing/index.js';
import { type ColumnLayout, toStaffY } from './column-layout.js';
import { PEN } from './pen.js';
import type { Staff } from './systems.js';

/** The five lines of a staff and its clef. */
export function drawStaff({ clef, lowest }: Staff, width: number): Shape[] {
  const lines = [0, 2, 4, 6, 8].map((up): Shape => {
    const y = toStaffY(lowest + up);
    return { kind: 'line', from: [0, y], to: [width, y], stroke: PEN.rule };
  });
  return [...lines, ...(clef === 'treble' ? drawTreble(lowest) : drawBass(lowest))];
}

/** A spiral about the line of G, a bow above it, a stem through both. */
function drawTreble(lowest: number): Shape[] {
  const s = 2 * PEN.step;
  const [x, y] = [30, toStaffY(lowest + 2)];
  const at = (dx: number, dy: number): [number, number] => [x + dx * s, y + dy * s];
  return [
    {
      kind: 'path',
      steps: [
        ['M', ...at(-0.05, 0.42)],
        ['C', ...at(-0.55, 0.25), ...at(-0.42, -0.55), ...at(0.15, -0.55)],
        ['C', ...at(0.85, -0.55), ...at(1.05, 0.35), ...at(0.6, 0.75)],
        ['C', ...at(0.1, 1.2), ...at(-1.15, 0.85), ...at(-1.1, -0.3)],
        ['C', ...at(-1.05, -1.6), ...at(0.62, -2.05), ...at(0.58, -3.5)],
        ['C', ...at(0.55, -4.35), ...at(0.05, -4.35), ...at(-0.1, -3.4)],
        ['C', ...at(-0.2, -2.6), ...at(0.3, -0.3), ...at(0.45, 1.5)],
        ['C', ...at(0.55, 2.45), ...at(-0.35, 2.6), ...at(-0.5, 2.0)],
      ],
      stroke: PEN.ink,
      thick: 2.4,
    },
    { kind: 'oval', x: x - 0.38 * s, y: y + 1.9 * s, radiusX: 3.6, radiusY: 3.6, fill: PEN.ink },
  ];
}

/** A dot on the line of F, a bow from it, and two dots about the line. */
function drawBass(lowest: number): Shape[] {
  const s = 2 * PEN.step;
  const [x, y] = [26, toStaffY(lowest + 6)];
  const at = (dx: number, dy: number): [number, number] => [x + dx * s, y + dy * s];
  return [
    {
      kind: 'path',
      steps: [
        ['M', ...at(-0.75, 0)],
        ['C', ...at(-0.85, -1.15), ...at(0.95, -1.3), ...at(0.9, 0.25)],
        ['C', ...at(0.85, 1.5), ...at(-0.1, 2.2), ...at(-0.95, 2.6)],
      ],
      stroke: PEN.ink,
      thick: 2.8,
    },
    { kind: 'oval', x: x - 0.6 * s, y, radiusX: 4.2, radiusY: 4.2, fill: PEN.ink },
    { kind: 'oval', x: x + 1.35 * s, y: y - PEN.step, radiusX: 2.4, radiusY: 2.4, fill: PEN.ink },
    { kind: 'oval', x: x + 1.35 * s, y: y + PEN.step, radiusX: 2.4, radiusY: 2.4, fill: PEN.ink },
  ];
}

/** Ledger lines for the heads of a column off the staves. */
export function drawLedgers({ notes }: ColumnLayout, staves: readonly Staff[]): Shape[] {
  const shapes: Shape[] = [];
  const drawn = new Set<string>();
  for (const { note, x } of notes) {
    for (const step of toLedgers(note.staffStep, staves)) {
      const key = `${step} ${x}`;
      if (drawn.has(key)) continue;
      drawn.add(key);
      const y = toStaffY(step);
      shapes.push({
        kind: 'line',
        from: [x - PEN.head.radiusX - 5, y],
        to: [x + PEN.head.radiusX + 5, y],
        stroke: PEN.faint,
        thick: 1.2,
      });
    }
  }
  return shapes;
}

/**
 * The ledger lines a head needs, from its nearest staff out to it.
 * @param staves at least one
 * @example toLedgers(28, [{ clef: 'treble', lowest: 30 }])  // [28]: middle C
 */
export function toLedgers(step: number, staves: readonly Staff[]): number[] {
  const ways = staves.map(({ lowest }) => {
    const lines: number[] = [];
    for (let line = lowest - 2; line >= step; line -= 2) lines.push(line);
    for (let line = lowest + 10; line <= step; line += 2) lines.push(line);
    return lines;
  });
  return ways.reduce((best, lines) => (lines.length < best.length ? lines : best));
}
