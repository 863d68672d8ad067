import { describe, expect, test } from 'vitest';
import type { TunerSettings } from '../../../src/core/tuner/index.js';
import { homeOn, keysOf, Playing } from '../../support/play.js';

const temper = (changes: Partial<TunerSettings> = {}) => new Playing({ strategy: 'temper', ...changes });

/** Cents off 12 equal, as they sound. */
function offsets(music: Playing, names: string): number[] {
  return keysOf(names).map((key) => music.cents(key) - 100 * key);
}

function expectClose(actual: readonly number[], expected: readonly number[]): void {
  expect(actual).toHaveLength(expected.length);
  actual.forEach((cents, i) => {
    expect(cents).toBeCloseTo(expected[i], 4);
  });
}

describe('temper', () => {
  test('leaves a major triad pure, and at home as a whole', () => {
    const music = temper().chord(keysOf('C4 E4 G4'));
    const [c, e, g] = offsets(music, 'C4 E4 G4');
    expect(e - c).toBeCloseTo(-13.6863, 3);
    expect(g - c).toBeCloseTo(1.955, 3);
    expect(c + e + g).toBeCloseTo(0, 6);
  });

  test('makes C6 quarter-comma meantone', () => {
    const music = temper().chord(keysOf('C4 E4 G4 A4'));
    const meantone = homeOn('meantone', 'C');
    const [c, ...others] = offsets(music, 'C4 E4 G4 A4');
    const wanted = [4, 7, 9].map((k) => meantone.deviationCents[k] - meantone.deviationCents[0]);
    expectClose(
      others.map((cents) => cents - c),
      wanted,
    );
  });

  test('makes augmented and diminished chords equal', () => {
    expectClose(offsets(temper().chord(keysOf('C4 E4 G#4')), 'C4 E4 G#4'), [0, 0, 0]);
    expectClose(offsets(temper().chord(keysOf('B3 D4 F4 G#4')), 'B3 D4 F4 G#4'), [0, 0, 0, 0]);
  });

  test('is not changed by doubling a note, or by the order of the fingers', () => {
    const plain = temper().chord(keysOf('C4 E4 G4 A4'));
    const full = temper().strike(keysOf('A4 C5 G3 E4 C4 G4'), 4).wait(500);
    expectClose(offsets(full, 'C4 E4 G4 A4'), offsets(plain, 'C4 E4 G4 A4'));
    expectClose(offsets(full, 'C5 G3'), offsets(plain, 'C4 G4'));
  });

  test('is not changed by the order where no spring binds two notes, as in a tritone off 12 equal', () => {
    const play = (names: string) =>
      temper({ limit: 3, home: homeOn('pythagorean', 'C') })
        .strike(keysOf(names), 0)
        .wait(500);
    const [d, gSharp] = offsets(play('D4 G#4'), 'D4 G#4');
    expect(offsets(play('G#4 D4'), 'D4 G#4')).toEqual([d, gSharp]);
  });

  test('leaves the mean of a strike where it is with the drift held, and else draws it home', () => {
    const moves = [true, false].map((isHeld) => {
      const music = temper().chord(keysOf('C4 E4 G4'));
      music.tell({ kind: 'hold-drift', on: isHeld });
      const before = music.tuner.offset.cents;
      music.chord(keysOf('D4 F4 A4'));
      return Math.abs(music.tuner.offset.cents - before);
    });
    expect(moves[0]).toBeLessThan(0.05);
    expect(moves[1]).toBeGreaterThan(1);
  });

  test('makes a dominant seventh 4:5:6:7 in the 7-limit', () => {
    const music = temper({ limit: 7 }).chord(keysOf('C4 E4 G4 Bb4'));
    const [c, ...others] = offsets(music, 'C4 E4 G4 Bb4');
    expectClose(
      others.map((cents) => cents - c),
      [-13.68629, 1.955, -31.17409],
    );
  });

  test('brings a pump to rest within a comma of home, moves its tied notes little, and enters their impurity', () => {
    const chords = ['C4 E4 G4', 'C4 E4 A4', 'D4 F4 A4', 'D4 G4 B4'].map(keysOf);
    const music = temper();
    for (let pass = 0; pass < 20; pass++) for (const chord of chords) music.chord(chord);
    music.chord(chords[0]);
    expect(music.returned(0)).not.toBe('1/1');
    const restsAt = music.meanFromHome();
    expect(Math.abs(restsAt)).toBeLessThan(21.5);
    const { totals } = music.tuner.ledger;
    expect(totals.impurityCentSeconds).toBeGreaterThan(0);
    // A comma a pass in the lattice, four tied notes a pass: none of them carries more than half of one.
    const told = music.telling.told.filter((one) => one.what === 'retune');
    expect(told.length).toBeGreaterThan(0);
    expect(totals.glidedCents / (20 * 4)).toBeLessThan(10.8);
    expect(music.telling.entries.some((one) => one.kind === 'impurity')).toBe(true);
    for (let pass = 0; pass < 5; pass++) for (const chord of chords) music.chord(chord);
    expect(music.chord(chords[0]).meanFromHome()).toBeCloseTo(restsAt, 1);
  });

  test('gives a chord the same shape whatever was heard before, and brings it back near where it was', () => {
    const music = temper().chord(keysOf('C4 E4 G4 A4'));
    const first = offsets(music, 'C4 E4 G4 A4');
    music.lift(keysOf('C4 E4 G4 A4')).chord(keysOf('C4 F4 A4')).lift(keysOf('C4 F4 A4'));
    music.chord(keysOf('C4 E4 G4 A4'));
    const again = offsets(music, 'C4 E4 G4 A4');
    expectClose(
      again.map((cents) => cents - again[0]),
      first.map((cents) => cents - first[0]),
    );
    // By itself F A C would put C at +5.87, as the fifth of its chord.
    expect(Math.abs(again[0] - first[0])).toBeLessThan(2);
  });

  test('leaves every tied note where it is with held notes that stay', () => {
    const music = temper({ held: 'stay' }).chord(keysOf('C4 E4 G4'));
    const before = offsets(music, 'C4 E4');
    music.chord(keysOf('C4 E4 A4'));
    expectClose(offsets(music, 'C4 E4'), before);
  });

  test('moves a tied note by a glide to where the new chord wants it', () => {
    const music = temper({ glideMs: 60 }).chord(keysOf('C4 E4 G4'));
    music.lift(keysOf('E4 C4')).strike(keysOf('D4 F4'));
    const [atOnce] = offsets(music, 'G4');
    music.wait(500);
    const [later] = offsets(music, 'G4');
    expect(later).not.toBeCloseTo(atOnce, 2);
    expect(music.tuner.notes.every((note) => note.lagCents === note.leanCents)).toBe(true);
  });

  test('goes home at once on request', () => {
    const music = temper().chord(keysOf('C4 E4 G4')).chord(keysOf('C4 E4 A4')).chord(keysOf('D4 F4 A4'));
    const inside = () => [
      offsets(music, 'F4')[0] - offsets(music, 'D4')[0],
      offsets(music, 'A4')[0] - offsets(music, 'D4')[0],
    ];
    const before = inside();
    expect(Math.abs(music.meanFromHome())).toBeGreaterThan(0.5);
    music.tell({ kind: 'home', when: 'now' });
    music.wait(500);
    expect(music.meanFromHome()).toBeCloseTo(0, 6);
    expectClose(inside(), before);
  });
});
