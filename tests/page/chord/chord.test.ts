import { describe, expect, test } from 'vitest';
import { findNewest, toLadder, toReasonSentence, toRouteLines } from '../../../src/page/chord/ladder.js';
import { heardOf } from '../frames.js';

describe('toLadder', () => {
  const notes = heardOf('C3 E4 G4 C5');
  const ladder = toLadder(notes, 'anchored', 300, 20, 40);

  test('has rungs true to pitch, the lowest at the bottom', () => {
    expect(ladder.rungs.map((rung) => rung.note.name)).toEqual(['C3⁰', 'E4⁻¹', 'G4⁰', 'C5⁰']);
    expect(ladder.rungs[0].trueY).toBe(280);
    expect(ladder.rungs[3].trueY).toBe(20);
    const cents = notes.map((note) => note.cents - notes[0].cents);
    const share = (280 - ladder.rungs[1].trueY) / 260;
    expect(share).toBeCloseTo(cents[1] / cents[3], 9);
  });

  test('gives words their room within the ladder', () => {
    const ys = ladder.rungs.map((rung) => rung.y);
    for (let i = 1; i < ys.length; i++) expect(ys[i - 1] - ys[i]).toBeGreaterThanOrEqual(40 - 1e-9);
    expect(Math.max(...ys)).toBeLessThanOrEqual(280);
    expect(Math.min(...ys)).toBeGreaterThanOrEqual(20);
  });

  test('has between two rungs their ratio and its name', () => {
    expect(ladder.steps.map((step) => [step.ratio, step.words])).toEqual([
      ['5/2', 'octave and a just major third'],
      ['6/5', 'just minor third'],
      ['4/3', 'just fourth'],
    ]);
  });

  test('has room for ten notes, evenly', () => {
    const many = heardOf('C3 D3 E3 F3 G3 A3 B3 C4 D4 E4');
    const { rungs, gap } = toLadder(many, 'anchored', 200, 10, 40);
    expect(gap).toBe(20);
    expect(rungs.map((rung) => rung.y)).toEqual([190, 170, 150, 130, 110, 90, 70, 50, 30, 10]);
  });

  test('has no rungs in silence', () => {
    expect(toLadder([], 'free', 100, 10, 40)).toMatchObject({ rungs: [], steps: [], arrow: undefined });
  });

  test('has an arrow from the note that decided the newest one', () => {
    const { arrow, rungs } = toLadder(heardOf('C4 E4 G4'), 'anchored', 300, 20, 40);
    expect(arrow).toBeDefined();
    const [from, to] = [rungs[arrow!.from].note, rungs[arrow!.to].note];
    expect(to.id).toBe(findNewest(rungs.map((rung) => rung.note))?.id);
    expect(to.by?.id).toBe(from.id);
  });
});

test('the reason of the newest note is shown', () => {
  expect(toReasonSentence(heardOf('C4 E4'))).toBe('E4⁻¹ is a just major third above C4⁰, struck together.');
  expect(toReasonSentence(heardOf('C4'))).toBe('');
});

test.each([
  [1, 8171, ['ch 2', 'bend −21']],
  [15, 9000, ['ch 16', 'bend +808']],
  [0, 8192, ['ch 1', 'bend 0']],
  // Keys that are tuned by themselves have no bend, and what no outlet plays has no channel.
  [9, null, ['ch 10']],
  [null, null, []],
  [null, 8171, []],
] as const)(
  'the channel and bend of a note are written for channel %s, bend %s: %j',
  (channel, bend, lines) => expect(toRouteLines({ isFixed: false, channel, bend })).toEqual(lines),
);

test('a note that can not be tuned says so, on its rung and in the sentence', () => {
  const notes = heardOf('C3 E4');
  const fixed = notes.map((note) => ({ ...note, isFixed: true }));
  expect(toRouteLines(fixed[0])).toEqual(['fixed']);
  expect(toReasonSentence(fixed)).toContain('Its pitch is fixed: the others are tuned to it.');
  expect(toReasonSentence(notes)).not.toContain('fixed');
});
