import { describe, expect, test } from 'vitest';
import { CLASSIC_PUMPS, type Pump, parseFormula, toPump } from '../../../../src/core/score/index.js';
import { formatRatio, ratio, type Tonic, toCents } from '../../../../src/core/theory/index.js';

const C: Tonic = { keyClass: 0, fifths: 0 };

function make(text: string): Pump {
  const formula = parseFormula(text, C);
  if (!formula.ok) throw new Error(formula.problem.message);
  const pump = toPump(formula.value);
  if (!pump.ok) throw new Error(pump.problem.message);
  return pump.value;
}

const twelve = (move: string) => new Array(12).fill(move).join(' ');

describe('a strict pump drifts by the exact product of the moves of its root:', () => {
  // Common practice and encyclopaedia pages "Comma pump", "Diesis"; C F D G C is Huygens' own example (17th century).
  const rows: [name: string, formula: string, moves: string, drift: string, cents: number][] = [
    ['I–vi–ii–V–I', 'I vi ii V', '5/6 4/3 4/3 2/3', '80/81', -21.5063],
    ['I–IV–ii–V–I', 'I IV ii V', '4/3 5/6 4/3 2/3', '80/81', -21.5063],
    ['I–V–ii–vi–I', 'I V ii vi', '3/2 3/4 3/4 6/5', '81/80', 21.5063],
    ['C G D A E C', '3/2 3/4 3/2 3/4 4/5', '3/2 3/4 3/2 3/4 4/5', '81/80', 21.5063],
    ['the held soprano', 'C G D Am', '3/2 3/4 3/2 3/5', '81/80', 21.5063],
    ['three major thirds up', '5/4 5/4 5/4', '5/4 5/4 5/4', '125/128', -41.0589],
    ['three major thirds down', '4/5 4/5 4/5', '4/5 4/5 4/5', '128/125', 41.0589],
    ['four minor thirds up', '6/5 6/5 6/5 6/5', '6/5 6/5 6/5 6/5', '648/625', 62.5651],
    ['four minor thirds down', '5/6 5/6 5/6 5/6', '5/6 5/6 5/6 5/6', '625/648', -62.5651],
    ['twelve fifths up', twelve('3/2'), twelve('3/2'), '531441/524288', 23.46],
    ['twelve fourths up', twelve('4/3'), twelve('4/3'), '524288/531441', -23.46],
    ['C7 F7 G7 C7', 'C7 F7 G7', '4/3 8/7 4/3', '64/63', 27.2641],
    ['a tritone read anew', 'G7 Db7', '7/5 7/5', '49/50', -34.9756],
    ['the other way', 'G7 10/7 Db7 10/7', '10/7 10/7', '50/49', 34.9756],
  ];
  // Octaves of a move don't count.
  const odd = (vector: readonly number[]) => vector.slice(1).join(' ');

  test.each(rows)('the pump %s drifts by %s', (_, formula, moves, drift, cents) => {
    const pump = make(formula);
    expect(pump.moves.map((move) => odd(move.ratio))).toEqual(moves.split(' ').map((one) => odd(ratio(one))));
    expect(formatRatio(pump.drift)).toBe(drift);
    expect(toCents(pump.drift)).toBeCloseTo(cents, 4);
  });

  test("nine passes of Huygens' pump fall by nearly a whole tone", () => {
    expect(9 * toCents(make('C F Dm G').drift)).toBeCloseTo(-193.557, 3);
  });

  test('names of chords, degrees and moves give the same pump', () => {
    expect(make('C Am Dm G').drift).toEqual(make('I vi ii V').drift);
    expect(make('5/6 4/3 4/3 2/3').drift).toEqual(make('I vi ii V').drift);
  });

  test('a formula that comes home does not drift', () =>
    expect(formatRatio(make('I IV I V').drift)).toBe('1/1'));
});

describe('the notes that a pump holds', () => {
  test('are all notes in common, where all give the same move', () => {
    const { moves } = make('I vi ii V');
    expect(moves.map((move) => move.held)).toEqual([[0, 4], [9], [2], [7]]);
    expect(moves.every((move) => move.shifted.length === 0)).toBe(true);
  });

  test('are those of the simplest move, where notes in common give different ones', () => {
    // G says a fifth; B flat, a seventh 7/4 and then a third 6/5, would say 35/24.
    const [move] = make('C7 Gm').moves;
    expect(formatRatio(move.ratio)).toBe('3/4');
    expect([move.held, move.shifted]).toEqual([[7], [10]]);
  });

  test('are those that fit the move of the formula', () => {
    const [move] = make('G7 10/7 Db7 10/7').moves;
    expect([move.held, move.shifted, move.by]).toEqual([[11], [5], undefined]);
  });
});

test.each([
  ['IV V I', 'PUMP_APART', 'F and G (chords 1 and 2) have no note in common'],
  ['I IV V', 'PUMP_APART', 'F and G (chords 2 and 3) have no note in common'],
  [
    'C 5/4 G',
    'PUMP_MOVE',
    "the move 5/4 doesn't fit between C and G (chords 1 and 2): their roots are 5 keys down, it spans 4",
  ],
  [
    '3/2 3/2',
    'PUMP_MOVE',
    "the move 3/2 doesn't fit between G and C (chords 2 and 1): their roots are 5 keys up, it spans 7",
  ],
])('the pump %s is refused with the place of the mistake', (text, code, message) => {
  const formula = parseFormula(text, C);
  if (!formula.ok) throw new Error(formula.problem.message);
  const outcome = toPump(formula.value);
  expect(outcome).toMatchObject({ ok: false, problem: { code, message: expect.stringContaining(message) } });
});

test('a pump knows the limit that it needs', () => {
  expect(make('I vi ii V').limit).toBe(5);
  expect(make('C7 F7 G7').limit).toBe(7);
});

test('every classic pump is read and drifts', () => {
  for (const { formula } of CLASSIC_PUMPS) expect(formatRatio(make(formula).drift)).not.toBe('1/1');
  expect(new Set(CLASSIC_PUMPS.map(({ name }) => name)).size).toBe(CLASSIC_PUMPS.length);
});

test.each([
  ['I vi ii V', 5],
  ['C7 F7 G7', 7],
  ['4/3 11/8 12/11', 11],
  ['13/8 16/13', 13],
])('the pump %s needs the limit %i', (formula, limit) => expect(make(formula).limit).toBe(limit));
