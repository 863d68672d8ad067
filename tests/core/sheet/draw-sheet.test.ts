import { Resvg } from '@resvg/resvg-js';
import fc from 'fast-check';
import { XMLParser, XMLValidator } from 'fast-xml-parser';
import { describe, expect, test } from 'vitest';
import { formatDrawing } from '../../../src/core/drawing/index.js';
import { drawParts, drawSheet, type Passage, toSystems } from '../../../src/core/sheet/index.js';
import { formatSigned } from '../../../src/core/words/index.js';
import { type BuiltNote, PUMP } from '../../support/build-midi.js';
import { numbers } from '../../support/numbers.js';
import { findCollisions, passageOf, pedalledPassageOf, textsOf } from '../../support/passages.js';
import { forAll } from '../../support/properties.js';
import { chords } from './arbitraries.js';

const HEADS = { title: 'A & B <pump>', lines: ['Bars 1 to 5; free: the pitch may drift'] };

/** All drawings of a passage: those of the page, and the picture. */
function drawAll(passage: Passage) {
  const { systems, paths, legend } = drawParts(passage, 370);
  return [
    ...systems.map(({ drawing }) => drawing),
    ...paths.map(({ drawing }) => drawing),
    legend,
    drawSheet(passage, HEADS),
  ];
}

describe('a sheet as it is drawn', () => {
  test('has no overlapping words, whatever the chords', () => {
    forAll(
      [chords(), fc.constantFrom('free', 'anchored', 'temper', 'pull')],
      120,
      ({ notes, limit }, strategy) => {
        const passage = passageOf(notes, { strategy, limit });
        expect(drawAll(passage).flatMap(findCollisions)).toEqual([]);
      },
    );
  });

  test('has every sounding note on the staves, by name and ratio, in its column', () => {
    forAll([chords()], 60, ({ notes, limit }) => {
      const passage = passageOf(notes, { strategy: 'free', limit });
      const { systems } = drawParts(passage, 370);
      const words = systems.flatMap(({ drawing }) => textsOf(drawing).map((text) => text.words));
      const count = (list: readonly string[], word: string) => list.filter((one) => one === word).length;
      const names = passage.columns.flatMap((column) => column.notes.map(({ name }) => name));
      // A name may also stand on an arrow.
      for (const name of new Set(names))
        expect(count(words, name)).toBeGreaterThanOrEqual(count(names, name));
      const heads = systems.flatMap(({ drawing }) =>
        drawing.shapes.filter((shape) => shape.kind === 'oval' && shape.radiusX === 8),
      );
      expect(heads).toHaveLength(names.length);
      expect(systems.map(({ first, last }) => last - first + 1).reduce((a, b) => a + b)).toBe(
        passage.columns.length,
      );
    });
  });

  test('has everything within the paper', () => {
    forAll([chords()], 60, ({ notes, limit }) => {
      for (const drawing of drawAll(passageOf(notes, { strategy: 'free', limit }))) {
        for (const shape of drawing.shapes) {
          if (shape.kind !== 'oval') continue;
          expect(shape.x - shape.radiusX).toBeGreaterThanOrEqual(0);
          expect(shape.x + shape.radiusX).toBeLessThanOrEqual(drawing.width);
          expect(shape.y - shape.radiusY).toBeGreaterThanOrEqual(0);
          expect(shape.y + shape.radiusY).toBeLessThanOrEqual(drawing.height);
        }
      }
    });
  });

  test('is a well-formed picture that needs no other file, plain enough for a slide', () => {
    const passage = passageOf(PUMP, { strategy: 'free' });
    const svg = formatDrawing(drawSheet(passage, HEADS), HEADS.title, 'role="img"');
    expect(XMLValidator.validate(svg)).toBe(true);
    const tree = new XMLParser({ ignoreAttributes: false, preserveOrder: true }).parse(svg);
    const found = new Map<string, Record<string, string>[]>();
    const visit = (nodes: Record<string, unknown>[]) => {
      for (const node of nodes) {
        for (const [tag, inner] of Object.entries(node)) {
          if (tag === ':@' || tag === '#text') continue;
          found.set(tag, [...(found.get(tag) ?? []), (node[':@'] ?? {}) as Record<string, string>]);
          if (Array.isArray(inner)) visit(inner);
        }
      }
    };
    visit(tree);
    expect([...found.keys()].sort()).toEqual(['ellipse', 'line', 'path', 'rect', 'svg', 'text', 'title']);
    const attributes = new Set([...found.values()].flat().flatMap((one) => Object.keys(one)));
    expect([...attributes].filter((name) => /^@_(class|style|href|xlink:href|on.*)$/.test(name))).toEqual([]);
    expect(found.get('svg')?.[0]['@_font-family']).toBe('sans-serif');
    expect(found.get('text')?.length).toBeGreaterThan(60);
    // Another program reads it, on paper that is white to the edge.
    const image = new Resvg(svg, { fitTo: { mode: 'width', value: 400 } }).render();
    expect(image.width).toBe(400);
    expect([...image.pixels.subarray(0, 4)]).toEqual([255, 255, 255, 255]);
  });

  test('joins the chords of the pump with ties, and each arrow has its head', () => {
    const passage = passageOf(PUMP, { strategy: 'free' });
    const [{ drawing }] = drawParts(passage, 370).systems;
    const paths = drawing.shapes.filter((shape) => shape.kind === 'path');
    const tips = paths.filter(({ steps }) => steps.at(-1)?.[0] === 'Z');
    const decided = passage.columns
      .flatMap(({ notes }) => notes)
      .filter(({ decision }) => decision !== undefined);
    expect(tips).toHaveLength(decided.length);
    const ties = paths.filter(({ thick }) => thick === 2.2);
    const tied = passage.columns
      .flatMap(({ notes }) => notes)
      .filter(({ tiedFrom }) => tiedFrom !== undefined);
    expect(ties).toHaveLength(tied.length);
    expect(tied).toHaveLength(5);
    const [{ columns }] = toSystems(passage);
    const ends = columns.flatMap(({ layout }, i) =>
      layout.notes.flatMap(({ note: { tiedFrom } }) =>
        tiedFrom === undefined ? [] : [columns[i - 1].x + columns[i - 1].layout.notes[tiedFrom].right],
      ),
    );
    expect(ties.map(({ steps: [begin] }) => begin[1])).toEqual(ends.map((end) => end + 3));
  });

  test('cuts a tie over the edge of a system in two: one after the last chord, one before the next', () => {
    const notes = Array.from({ length: 24 }, (_, i): BuiltNote => [i, i + 1, 60 + (i % 5)]);
    const passage = passageOf([[0, 24, 48], ...notes], { strategy: 'free' });
    const { systems } = drawParts(passage, 370);
    expect(systems.length).toBeGreaterThan(1);
    systems.forEach(({ drawing, first, last }, i) => {
      const ties = drawing.shapes.filter((shape) => shape.kind === 'path' && shape.thick === 2.2);
      // The low C is struck in the first chord and sounds to the last.
      const within = last - first;
      expect(ties).toHaveLength(within + (i > 0 ? 1 : 0) + (i < systems.length - 1 ? 1 : 0));
    });
  });

  test('has a dashed head and tie for what only the pedal holds', () => {
    const notes: BuiltNote[] = numbers('0 1 60, 0 8 64, 4 5 67, 8 9 72');
    const dashed = (passage: Passage, kind: 'oval' | 'path') =>
      drawParts(passage, 370)
        .systems.flatMap(({ drawing }) => drawing.shapes)
        .filter((shape) => shape.kind === kind && shape.dash !== undefined);
    const passage = pedalledPassageOf(notes, { strategy: 'free' });
    const ringing = passage.columns
      .flatMap((column) => column.notes)
      .filter(({ presence }) => presence === 'pedalled');
    // C in the second and third chord, E and G in the third.
    expect(ringing.map(({ key }) => key)).toEqual([60, 60, 64, 67]);
    expect(dashed(passage, 'oval')).toHaveLength(4);
    expect(dashed(passage, 'path')).toHaveLength(4);
    expect(dashed(passageOf(notes, { strategy: 'free' }), 'oval')).toEqual([]);
    expect(dashed(passageOf(notes, { strategy: 'free' }), 'path')).toEqual([]);
  });

  test('has all drawings of a lattice path, and the result once, after the last', () => {
    const passes = Array.from({ length: 8 }, (_, i) =>
      PUMP.map(([start, end, key]): BuiltNote => [start + 20 * i, end + 20 * i, key]),
    ).flat();
    const passage = passageOf(passes, { strategy: 'free' });
    const picture = drawSheet(passage, HEADS);
    const keys = textsOf(picture).filter(({ words }) => words.startsWith('→ fifth 3/2'));
    const found = textsOf(picture).filter(({ words }) => words === 'The comma found');
    expect(keys).toHaveLength(drawParts(passage, 370).paths.length);
    expect(keys.length).toBeGreaterThan(1);
    expect(found).toHaveLength(1);
    for (const { y } of keys.slice(0, -1)) expect(found[0].y).toBeGreaterThan(y);
    expect(findCollisions(picture)).toEqual([]);
  });

  test('has the cents of each note where they say more than its ratio', () => {
    const cents = (passage: Passage) => {
      const all = passage.columns.flatMap(({ notes }) =>
        notes.map((note) => formatSigned(note.deviationCents)),
      );
      const words = textsOf(drawParts(passage, 370).systems[0].drawing).filter(({ size }) => size === 13);
      return all.filter((one) => words.some((text) => text.words === one)).length / all.length;
    };
    expect(cents(passageOf(PUMP, { strategy: 'temper' }))).toBe(1);
    expect(cents(passageOf(PUMP, { strategy: 'free' }))).toBe(0);
  });

  test('has a thin line to words that had to move aside', () => {
    const lines = (...keys: number[]) => {
      const passage = passageOf(
        keys.map((key): BuiltNote => [0, 4, key]),
        { strategy: 'free' },
      );
      const [{ drawing }] = drawParts(passage, 370).systems;
      return drawing.shapes.filter((shape) => shape.kind === 'line' && shape.thick === 0.8).length;
    };
    expect(lines(60, 64, 67)).toBe(0);
    // The highest and the lowest are moved by most.
    expect(lines(60, 61, 62, 63)).toBeGreaterThanOrEqual(2);
  });

  test('says that it has no comma, and then has no figure', () => {
    const large = (passage: Passage) => textsOf(drawSheet(passage, HEADS)).filter(({ size }) => size === 34);
    expect(large(passageOf(PUMP, { strategy: 'free' })).map(({ words }) => words)).toEqual(['80/81']);
    const still = passageOf([[0, 4, 60]], { strategy: 'free' });
    expect(large(still)).toEqual([]);
    const words = textsOf(drawSheet(still, HEADS)).map((text) => text.words);
    expect(words.join(' ')).toContain('No comma: every note that came back stands where it stood.');
  });
});
