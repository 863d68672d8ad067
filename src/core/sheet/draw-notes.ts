import { roundTenth, type Shape, toTextBox, write } from '../drawing/index.js';
import { formatSigned } from '../words/index.js';
import {
  type ColumnLayout,
  type NoteLayout,
  toAccidental,
  toDecisionWords,
  toReturnWords,
} from './column-layout.js';
import { PEN } from './pen.js';

/** How far from a head's middle an arrow starts, so that it doesn't look like one that ends there. */
const AWAY = 4;
const CORNER = 5;

/** The arrows of a column, without words, from deciding notes to decided ones. */
export function drawArrows({ notes, trunks, decisionX }: ColumnLayout): Shape[] {
  const shapes: Shape[] = [];
  for (const { from, to, x } of trunks) {
    const decider = notes[from];
    for (const i of to) {
      const target = notes[i];
      const down = target.y >= decider.y ? 1 : -1;
      const [startY, endY] = [decider.y + down * AWAY, target.y];
      const bend = Math.min(CORNER, Math.abs(endY - startY) / 2);
      const side = endY >= startY ? 1 : -1;
      shapes.push(
        {
          kind: 'path',
          steps: [
            ['M', decider.left, startY],
            ['L', x + bend, startY],
            ['Q', x, startY, x, startY + side * bend],
            ['L', x, endY - side * bend],
            ['Q', x, endY, x + bend, endY],
            ['L', target.left - 6, endY],
          ],
          stroke: PEN.ink,
          thick: 1.4,
        },
        drawTip(target.left, endY),
      );
    }
  }
  for (const { note, left, y, rowY } of notes) {
    if (note.decision === undefined || note.decision.from !== undefined) continue;
    shapes.push(
      {
        kind: 'line',
        from: [decisionX + 4, rowY],
        to: [left - 6, y],
        stroke: PEN.ink,
        thick: 1.4,
        dash: '4 3',
      },
      drawTip(left, y),
    );
  }
  return shapes;
}

function drawTip(x: number, y: number): Shape {
  return {
    kind: 'path',
    steps: [['M', x - 1, y], ['L', x - 9, y - 4], ['L', x - 9, y + 4], ['Z']],
    stroke: PEN.ink,
    thick: 0.5,
    fill: PEN.ink,
  };
}

/** All words of a column's rows, each on a white box so that lines pass behind it. */
export function drawRows(layout: ColumnLayout): Shape[] {
  const { notes, hasLeaning, decisionX, nameX, ratioX, centsX, returnX } = layout;
  const shapes: Shape[] = [];
  const put = (text: ReturnType<typeof write>) => {
    const box = toTextBox(text);
    shapes.push(
      {
        kind: 'box',
        x: box.left - 2,
        y: box.top + 1,
        width: box.right - box.left + 4,
        height: box.bottom - box.top - 2,
        fill: PEN.paper,
      },
      text,
    );
  };
  for (const { note, rowY, right } of notes) {
    const { decision, presence } = note;
    const isStruck = presence === 'struck';
    const fill = PEN.ink;
    if (decision !== undefined) {
      const { name, ratio } = toDecisionWords(decision);
      const words = write(decisionX, rowY + 5, ratio, { size: PEN.ratio, fill, anchor: 'end', italic: true });
      put(words);
      if (name !== '') {
        const x = toTextBox(words).left - 6;
        put(write(x, rowY + 5, name, { size: PEN.small, fill: PEN.faint, anchor: 'end' }));
      }
    }
    // One white box for the words beside the head.
    shapes.push({
      kind: 'box',
      x: nameX - 2,
      y: rowY - PEN.row / 2 + 1,
      width: right - nameX + 3,
      height: PEN.row - 2,
      fill: PEN.paper,
    });
    shapes.push(
      write(nameX, rowY + 6, note.name, { size: PEN.name, fill, bold: isStruck }),
      write(ratioX, rowY + 5, note.toBass, { size: PEN.ratio, fill }),
    );
    if (hasLeaning) {
      const cents = formatSigned(note.deviationCents);
      shapes.push(write(centsX, rowY + 5, cents, { size: PEN.small, fill: PEN.faint }));
    }
    if (note.returned !== undefined) {
      const mark = write(returnX + 5, rowY + 5, toReturnWords(note.returned), {
        size: PEN.small,
        fill: PEN.paper,
        bold: true,
      });
      const box = toTextBox(mark);
      shapes.push(
        {
          kind: 'box',
          x: returnX,
          y: rowY - 8.5,
          width: roundTenth(box.right - returnX + 5),
          height: 17,
          fill: PEN.ink,
          round: 3,
        },
        mark,
      );
    }
  }
  return shapes;
}

/** Heads and accidentals; a thin line to the row of words where that was moved. */
export function drawHeads({ notes, nameX }: ColumnLayout): Shape[] {
  return notes.flatMap((laid) => {
    const { note, x, y, rowY, accidentalX } = laid;
    const { radiusX, radiusY } = PEN.head;
    const shapes: Shape[] = [];
    if (Math.abs(rowY - y) > AWAY) {
      shapes.push({
        kind: 'line',
        from: [x + radiusX + 1, y],
        to: [nameX - 4, rowY],
        stroke: PEN.faint,
        thick: 0.8,
      });
    }
    if (note.alteration !== 0) {
      shapes.push(
        write(accidentalX, y + 5.5, toAccidental(note), {
          size: PEN.ratio,
          fill: PEN.ink,
          anchor: 'end',
          bold: true,
        }),
      );
    }
    shapes.push(drawHead(laid));
    if (note.returned !== undefined) {
      shapes.push({
        kind: 'oval',
        x,
        y,
        radiusX: radiusX + 3.5,
        radiusY: radiusY + 3.5,
        fill: 'none',
        stroke: PEN.ink,
        thick: 1.6,
      });
    }
    return shapes;
  });
}

function drawHead({ note: { presence }, x, y }: NoteLayout): Shape {
  const { radiusX, radiusY } = PEN.head;
  if (presence === 'struck') {
    return { kind: 'oval', x, y, radiusX, radiusY, fill: PEN.ink, stroke: PEN.ink, thick: 1.4 };
  }
  const open = {
    kind: 'oval',
    x,
    y,
    radiusX,
    radiusY,
    fill: PEN.paper,
    stroke: PEN.ink,
    thick: 1.8,
  } as const;
  return presence === 'held' ? open : { ...open, dash: '3 2' };
}
