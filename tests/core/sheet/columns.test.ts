import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { explain } from '../../../src/app/explain.js';
import { toSheetPassage } from '../../../src/app/sheet/write-sheet.js';
import type { MidiFile } from '../../../src/core/midi/index.js';
import { formatRatio, parseNoteName, toHome } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { type BuiltNote, buildMidi, PUMP } from '../../support/build-midi.js';
import { numbers } from '../../support/numbers.js';
import { passageOf, pedalledPassageOf } from '../../support/passages.js';
import { amongAll, forAll, times } from '../../support/properties.js';
import { chords } from './arbitraries.js';

describe('columns', () => {
  test('have two notes for two voices on one key, one decided by the other and neither by itself', () => {
    const voice = (keys: readonly number[]) => buildMidi(keys.map((key): BuiltNote => [0, 4, key])).chunks[0];
    const file: MidiFile = { ...buildMidi([]), format: 1, chunks: [voice([48, 55]), voice([55, 64])] };
    const [piece] = explain(file, toSettings({ strategy: 'free' }), 'live');
    const [{ notes, proportion }] = toSheetPassage(piece).columns;
    expect(notes.map(({ name }) => name)).toEqual(['C3⁰', 'G3⁰', 'G3⁰', 'E4⁻¹']);
    // Each pitch once.
    expect(proportion).toBe('2:3:5');
    for (const [i, { decision }] of notes.entries()) expect(decision?.from).not.toBe(i);
    expect(
      notes.filter(({ decision }) => decision?.isSame).map(({ decision }) => decision?.from),
    ).toHaveLength(1);
  });

  test('have no arrow to a unison from itself when its other voice ends within the strike', () => {
    const ticks = (count: number) => count / 480;
    const voice = (notes: readonly BuiltNote[]) => buildMidi(notes).chunks[0];
    const leaving = voice([[0, 4 + ticks(10), 55]]);
    const coming = voice([
      [4, 8, 55],
      [4 + ticks(20), 8, 60],
    ]);
    const file: MidiFile = { ...buildMidi([]), format: 1, chunks: [leaving, coming] };
    const [, { notes }] = toSheetPassage(explain(file, toSettings({ strategy: 'free' }), 'live')[0]).columns;
    expect(notes.map(({ name, presence }) => `${name} ${presence}`)).toEqual(['G3⁰ struck', 'C4⁰ struck']);
    expect(notes[0].decision).toMatchObject({ presence: 'held', from: undefined, isSame: true });
  });

  test('show a note struck again where it was as decided by its own memory, which is no note of the chord', () => {
    const again: BuiltNote[] = [
      [0, 1, 60],
      [1, 2, 60],
    ];
    const [, { notes }] = passageOf(again, { strategy: 'free' }).columns;
    expect(notes[0].decision).toMatchObject({
      presence: 'recalled',
      from: undefined,
      isSame: true,
      name: 'C4⁰',
    });
  });

  test('have no arrow from a restruck note that the pedal held, and no circle', () => {
    const [, { notes }] = pedalledPassageOf(numbers('0 1 51, 0 1 70, 4 8 58, 4 8 70'), {
      strategy: 'free',
    }).columns;
    const [, low, high] = notes;
    expect(notes.map(({ key, presence }) => `${key} ${presence}`)).toEqual([
      '51 pedalled',
      '58 struck',
      '70 struck',
    ]);
    expect(low.decision).toMatchObject({ presence: 'pedalled', name: 'B♭4⁺¹', from: undefined });
    expect(high.decision).toMatchObject({ presence: 'together', from: 1 });
  });

  test('mark only struck notes as come back, and only those have arrows', () => {
    let beside = 0;
    fc.assert(
      fc.property(chords(), ({ notes, limit }) => {
        for (const column of passageOf(notes, { strategy: 'free', limit }).columns) {
          const marked = column.notes.filter(({ returned }) => returned !== undefined);
          const tied = column.notes.filter(({ presence }) => presence !== 'struck');
          expect(marked.filter(({ presence }) => presence !== 'struck')).toEqual([]);
          expect(tied.filter(({ decision }) => decision !== undefined)).toEqual([]);
          if (marked.some(({ key }) => tied.some((other) => other.key % 12 === key % 12))) beside += 1;
        }
      }),
      { numRuns: times(150), seed: 7 },
    );
    expect(beside).toBeGreaterThan(amongAll(0));
  });

  test('tie a note that sounds on to itself in the chord before', () => {
    let tied = 0;
    forAll(
      [
        chords(),
        fc.constantFrom('free', 'anchored', 'temper', 'pull'),
        fc.constantFrom('follow', 'stay'),
        fc.constantFrom(passageOf, pedalledPassageOf),
      ],
      150,
      ({ notes, limit }, strategy, held, toPassage) => {
        const { columns } = toPassage(notes, { strategy, limit, held });
        columns.forEach((column, i) => {
          for (const { presence, tiedFrom, key, part, name } of column.notes) {
            if (presence === 'struck') {
              expect(tiedFrom).toBeUndefined();
              continue;
            }
            tied += 1;
            expect(columns[i - 1].notes[tiedFrom ?? -1]).toMatchObject({ key, part, name });
          }
        });
      },
    );
    expect(tied).toBeGreaterThan(amongAll(0));
  });

  test('have heads on the line of their letter, in the octave of their name', () => {
    forAll([chords()], 40, ({ notes, limit }) => {
      for (const { notes: all } of passageOf(notes, { strategy: 'free', limit }).columns) {
        for (const { name, staffStep, alteration, key } of all) {
          const parsed = parseNoteName(name, { fifths: 0 });
          expect(parsed.ok && parsed.value.key).toBe(key);
          const [, letter, octave] = /^([A-G])[^-\d]*(-?\d)/.exec(name) ?? [];
          expect(staffStep).toBe(7 * Number(octave) + 'CDEFGAB'.indexOf(letter));
          // The keys of the letters from C, and the accidental.
          const bare = 12 * (Number(octave) + 1) + [0, 2, 4, 5, 7, 9, 11]['CDEFGAB'.indexOf(letter)];
          expect(bare + alteration).toBe(key);
        }
      }
    });
  });

  test('have the tonic of home as 1/1, whichever it is', () => {
    const { columns } = passageOf(PUMP, {
      strategy: 'free',
      home: toHome({ kind: 'just', tonic: { keyClass: 7, fifths: 1 } }),
    });
    expect(columns[0].notes.map(({ name, toHome }) => `${name} ${toHome}`)).toEqual([
      'C4⁰ 4/3',
      'E4⁻¹ 5/3',
      'G4⁰ 1/1',
    ]);
    expect(formatRatio(columns[4].drift)).toBe('80/81');
  });
});
