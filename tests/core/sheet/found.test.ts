import { describe, expect, test } from 'vitest';
import { explain } from '../../../src/app/explain.js';
import { openMidi } from '../../../src/app/midi-source.js';
import { toSheetPassage } from '../../../src/app/sheet/write-sheet.js';
import { toFoundWords } from '../../../src/core/sheet/index.js';
import { formatPower, formatRatio, multiply, sameClass, UNISON } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { type BuiltNote, PUMP } from '../../support/build-midi.js';
import { numbers } from '../../support/numbers.js';
import { passageOf } from '../../support/passages.js';
import { amongAll, forAll } from '../../support/properties.js';
import { chords } from './arbitraries.js';

const triad = (start: number, ...keys: number[]): BuiltNote[] =>
  keys.map((key) => [start, start + 4, key] as const);

describe('the result of a passage', () => {
  test('is a lesser diesis for three thirds up', () => {
    // C E, E G♯, G♯ B♯: each third on the note held before it. 5/4 · 5/4 · 5/4 = 125/64, an octave less 128/125.
    const notes: BuiltNote[] = numbers('0 4 60, 0 8 64, 4 12 68, 8 12 72');
    const { found } = passageOf(notes, { strategy: 'free' });
    const c = found.moved.find(({ keyClass }) => keyClass === 0);
    expect([c?.letter, c?.from, c?.to, formatRatio(c?.ratio ?? UNISON)]).toEqual(
      'C C⁰ C⁰ᵈ⁻¹ 125/128'.split(' '),
    );
    expect(c?.derivation?.moves.map(({ ratio }) => formatRatio(ratio))).toEqual(['5/4', '5/4', '5/8']);
  });

  test('is eight commas for eight passes of the pump, and so is the product of their moves', () => {
    const notes = Array.from({ length: 8 }, (_, i) =>
      PUMP.map(([start, end, key]): BuiltNote => [start + 16 * i, end + 16 * i, key]).filter(
        // The last chord of a pass is the first of the next.
        ([start]) => i === 7 || start < 16 * (i + 1),
      ),
    ).flat();
    const { found } = passageOf(notes, { strategy: 'free' });
    expect(formatPower(found.drift)).toBe('(80/81)⁸');
    const product = (found.shown?.derivation?.moves ?? []).reduce(
      (all, move) => multiply(all, move.ratio),
      UNISON,
    );
    // More than a semitone below where it began, and yet in its octave.
    expect(formatPower(product)).toBe('(80/81)⁸');
    const words = toFoundWords(passageOf(notes, { strategy: 'free' }));
    expect(words.lines[1]).toMatch(/^\(5\/4\)⁸ · .* = \(80\/81\)⁸$/);
  });

  test('is no comma where everything stays', () => {
    const notes = [...triad(0, 60, 64, 67), ...triad(4, 60, 65, 69), ...triad(8, 60, 64, 67)];
    const passage = passageOf(notes, { strategy: 'free' });
    expect(passage.found.moved).toEqual([]);
    expect(toFoundWords(passage)).toEqual({
      figure: undefined,
      title: 'No comma: every note that came back stands where it stood.',
      lines: ['As it sounds, the last chord is at home.'],
      moved: [],
      way: [],
    });
  });

  test('mentions a note that goes away and comes home again', async () => {
    const { file } = await openMidi('configs/demo/chapel-suspensions.mid');
    const [piece] = explain(file, toSettings({}), 'live', { from: 1, to: 4 });
    const { way, title, moved } = toFoundWords(toSheetPassage(piece));
    expect(moved).toEqual([]);
    expect(way).toEqual([
      'On the way D came back by 80/81 in chords 8, 13, by 81/80 in chords 10, 16.',
      'On the way B came back by 80/81 in chord 13, by 81/80 in chord 16.',
    ]);
    expect(title).toBe('Notes came back elsewhere, and went back again: no comma is left.');
  });

  test('is nothing for one note alone', () => {
    const passage = passageOf([[0, 1, 60]], { strategy: 'free' });
    expect(passage.found).toMatchObject({ drift: UNISON, shown: undefined, moved: [], returns: [] });
  });

  test('has the comma that is exactly the product of every chain of moves', () => {
    let told = 0;
    forAll([chords()], 150, ({ notes, limit }) => {
      for (const { ratio, derivation } of passageOf(notes, { strategy: 'free', limit }).found.moved) {
        if (derivation === undefined) continue;
        told += 1;
        const product = derivation.moves.reduce((all, move) => multiply(all, move.ratio), UNISON);
        expect(formatRatio(product)).toBe(formatRatio(ratio));
        expect(derivation.moves.some((move) => sameClass(move.ratio, UNISON))).toBe(false);
      }
    });
    expect(told).toBeGreaterThan(amongAll(40));
  });
});
