import { type Drawing, type Shape, shift, toTextWidth, write } from '../drawing/index.js';
import type { Passage } from './passage.js';
import { PEN } from './pen.js';

/** Explains the signs that occur on a sheet. */
export function drawLegend({ columns, hasLeaning }: Passage, width: number): Drawing {
  const notes = columns.flatMap((column) => column.notes);
  const { ink, paper, small } = PEN;
  const head = (fill: string, dash?: string): Shape => ({
    kind: 'oval',
    x: 9,
    y: 0,
    ...PEN.head,
    fill,
    stroke: ink,
    thick: 1.6,
    ...(dash === undefined ? {} : { dash }),
  });
  const arrow = (dash?: string): Shape[] => [
    {
      kind: 'line',
      from: [0, 0],
      to: [14, 0],
      stroke: ink,
      thick: 1.4,
      ...(dash === undefined ? {} : { dash }),
    },
    {
      kind: 'path',
      steps: [['M', 22, 0], ['L', 14, -4], ['L', 14, 4], ['Z']],
      stroke: ink,
      thick: 0.5,
      fill: ink,
    },
  ];
  const entries: { sign: readonly Shape[]; room: number; words: string; is: boolean }[] = [
    { sign: [head(ink)], room: 22, words: 'struck', is: true },
    {
      sign: [head(paper)],
      room: 22,
      words: 'tied over',
      is: notes.some(({ presence }) => presence === 'held'),
    },
    {
      sign: [head(paper, '3 2')],
      room: 22,
      words: 'rings on by the pedal',
      is: notes.some(({ presence }) => presence === 'pedalled'),
    },
    {
      sign: arrow(),
      room: 27,
      words: 'decided by this note, at this ratio',
      is: notes.some(({ decision }) => decision?.from !== undefined),
    },
    {
      sign: arrow('4 3'),
      room: 27,
      words: 'decided by a note that has ended: its name, or itself at 1/1',
      is: notes.some(({ decision }) => decision !== undefined && decision.from === undefined),
    },
    {
      sign: [
        { kind: 'box', x: 0, y: -8.5, width: 22, height: 17, fill: ink, round: 3 },
        write(11, 4.5, '↓', { size: small, fill: paper, anchor: 'middle', bold: true }),
      ],
      room: 27,
      words: 'came back elsewhere, by this ratio',
      is: notes.some(({ returned }) => returned !== undefined),
    },
    { sign: [], room: 0, words: 'name: raised figures count commas', is: true },
    { sign: [], room: 0, words: 'beside it: ratio to the lowest note', is: true },
    { sign: [], room: 0, words: 'small figures: cents from 12 equal', is: hasLeaning },
  ];
  const shapes: Shape[] = [];
  let [x, y] = [0, 12];
  for (const { sign, room, words, is } of entries) {
    if (!is) continue;
    const wide = room + toTextWidth(words, small) + 22;
    if (x > 0 && x + wide - 22 > width) {
      x = 0;
      y += 22;
    }
    shapes.push(
      ...sign.map((shape) => shift(shape, x, y)),
      write(x + room, y + 4.5, words, { size: small, fill: PEN.faint }),
    );
    x += wide;
  }
  return { width, height: y + 14, shapes };
}
