import { describe, expect, test } from 'vitest';
import {
  commaName,
  divide,
  formatComma,
  formatRatio,
  multiply,
  type PrimeVector,
  power,
  ratio,
  toCents,
} from '../../src/core/theory/index.js';
import { expectPrinted, type PrintedTable, printed } from '../core/theory/help.js';

const TABLES: readonly PrintedTable[] = [
  {
    source: 'from memory: handbook values, not seen in print',
    rows: printed(`
      32805/32768 1.9537, 15625/15552 8.1073, 126/125 13.7948, 245/243 14.1905, 2048/2025 19.5526,
      55/54 31.7667, 45/44 38.9058, 28/27 62.9609`),
  },
  {
    source: 'web table of small commas, three decimals',
    rows: printed(`
      2^-84·3^53 3.615, 531441/524288 23.460, 3125/3072 29.614, 128/125 41.059, 250/243 49.166,
      16875/16384 51.120, 648/625 62.565, 256/243 90.225, 135/128 92.179, 2187/2048 113.685`),
  },
  {
    source: 'web encyclopaedia, pages of single intervals',
    rows: printed('352/351 4.9, 2109375/2097152 10.061, 393216/390625 11.4, 33/32 53.27294, 22/21 80.5'),
  },
  {
    source: 'web dictionary of tuning, entry "septimal comma", three decimals',
    rows: printed('225/224 7.712, 64/63 27.264, 50/49 34.976, 49/48 35.697, 36/35 48.770'),
  },
  {
    source: 'computed from the ratio; only the ratio was seen in print',
    rows: printed('99/98 17.5761, 56/55 31.1943, 40/39 43.8311'),
  },
  {
    source: '"List of intervals in 5-limit just intonation", encyclopaedia page, two decimals',
    rows: printed('81/80 21.51, 25/24 70.67, 27/25 133.24'),
  },
  {
    source: 'legend of the Helmholtz-Ellis accidentals, one decimal',
    rows: printed('27/26 65.3'),
  },
];

describe.each(TABLES)('$source', ({ rows }) => {
  test.each(rows)('%s is %s cents', (text, printed) => {
    expectPrinted(toCents(ratio(text)), printed);
  });

  test.each(rows)('%s has a name, and is one comma of that name upward', (text) => {
    const name = commaName(ratio(text));
    expect(name).toBeDefined();
    expect(formatComma(ratio(text))).toBe(`+1 ${name}`);
  });
});

test('the printed tables cover the whole table of commas', () => {
  expect(TABLES.flatMap((table) => table.rows)).toHaveLength(35);
});

/** Product of ratios with exponents, written [ratio, exponent]. */
function product(...factors: (readonly [string, number])[]): PrimeVector {
  return factors.reduce((v, [text, n]) => multiply(v, power(ratio(text), n)), ratio('1/1'));
}

describe('each comma is exactly the difference it measures', () => {
  test.each<[string, PrimeVector]>([
    ['32805/32768', product(['3/2', 8], ['5/4', 1], ['2/1', -5])],
    ['32805/32768', product(['531441/524288', 1], ['81/80', -1])],
    ['2^-84·3^53', product(['3/2', 53], ['2/1', -31])],
    ['352/351', product(['32/27', 1], ['13/11', -1])],
    ['225/224', product(['5/4', 2], ['9/7', 1], ['2/1', -1])],
    ['15625/15552', product(['3/1', 1], ['6/5', -6])],
    ['2109375/2097152', product(['15625/15552', 1], ['32805/32768', 1])],
    ['393216/390625', product(['6/1', 1], ['5/4', -8])],
    ['126/125', product(['2/1', 1], ['3/1', 2], ['7/1', 1], ['5/1', -3])],
    ['245/243', product(['5/1', 1], ['7/1', 2], ['3/1', -5])],
    ['99/98', product(['11/7', 1], ['14/9', -1])],
    ['2048/2025', product(['128/125', 1], ['81/80', -1])],
    ['81/80', product(['9/8', 1], ['10/9', -1])],
    ['81/80', product(['81/64', 1], ['5/4', -1])],
    ['81/80', product(['3/2', 4], ['5/1', -1])],
    ['531441/524288', product(['3/2', 12], ['2/1', -7])],
    ['64/63', product(['16/9', 1], ['7/4', -1])],
    ['3125/3072', product(['5/4', 5], ['3/1', -1])],
    ['56/55', product(['8/5', 1], ['11/7', -1])],
    ['55/54', product(['11/9', 1], ['6/5', -1])],
    ['50/49', product(['10/7', 1], ['7/5', -1])],
    ['49/48', product(['7/6', 1], ['8/7', -1])],
    ['45/44', product(['5/4', 1], ['11/9', -1])],
    ['128/125', product(['2/1', 1], ['5/4', -3])],
    ['40/39', product(['4/3', 1], ['13/10', -1])],
    ['36/35', product(['6/5', 1], ['7/6', -1])],
    ['36/35', product(['9/7', 1], ['5/4', -1])],
    ['250/243', product(['2/1', 1], ['5/1', 3], ['3/1', -5])],
    ['16875/16384', product(['3/1', 3], ['5/1', 4], ['2/1', -14])],
    ['33/32', product(['11/8', 1], ['4/3', -1])],
    ['648/625', product(['6/5', 4], ['2/1', -1])],
    ['28/27', product(['7/6', 1], ['9/8', -1])],
    ['28/27', product(['14/9', 1], ['3/2', -1])],
    ['27/26', product(['27/16', 1], ['13/8', -1])],
    ['25/24', product(['5/4', 1], ['6/5', -1])],
    ['22/21', product(['11/7', 1], ['3/2', -1])],
    ['256/243', product(['4/3', 1], ['9/8', -2])],
    ['135/128', product(['9/8', 1], ['16/15', -1])],
    ['2187/2048', product(['9/8', 1], ['256/243', -1])],
  ])('%s', (text, difference) => expect(difference).toEqual(ratio(text)));

  test('27/25 is a major tone less a small chromatic semitone', () => {
    // A printed list has 9/8 times 24/25, which is this.
    expect(divide(ratio('9/8'), ratio('25/24'))).toEqual(ratio('27/25'));
  });
});

test.each<[string, PrimeVector, string]>([
  ['syntonic comma and schisma', product(['81/80', 1], ['32805/32768', 1]), '531441/524288'],
  ['syntonic comma and diaschisma', product(['81/80', 1], ['2048/2025', 1]), '128/125'],
  ['three syntonic commas less a schisma', product(['81/80', 3], ['32805/32768', -1]), '648/625'],
  ['limma and apotome', product(['256/243', 1], ['2187/2048', 1]), '9/8'],
  ['diatonic and small chromatic semitone', product(['16/15', 1], ['25/24', 1]), '10/9'],
  ['syntonic comma and minor tone', product(['81/80', 1], ['10/9', 1]), '9/8'],
  ['five tones and two semitones', product(['9/8', 3], ['10/9', 2], ['16/15', 2]), '2/1'],
])('chains of intervals give commas exactly: %s', (_words, sum, text) => expect(formatRatio(sum)).toBe(text));

describe('the drift of strict common-tone progressions in one pass', () => {
  // The letters C F D G C are Huygens'; drifts of thirds and fifths as in encyclopaedia pages "Comma pump", "Diesis".
  test.each<[string, PrimeVector, string, number]>([
    ['C A D G C', product(['5/6', 1], ['4/3', 2], ['2/3', 1]), '−1 syntonic comma', -21.5063],
    ['C F D G C', product(['4/3', 2], ['5/6', 1], ['2/3', 1]), '−1 syntonic comma', -21.5063],
    ['three major thirds up', product(['5/4', 3], ['2/1', -1]), '−1 lesser diesis', -41.0589],
    ['four minor thirds up', product(['6/5', 4], ['2/1', -1]), '+1 greater diesis', 62.5651],
    ['twelve fifths up', product(['3/2', 12], ['2/1', -7]), '+1 Pythagorean comma', 23.46],
  ])('%s', (_words, drift, words, cents) => {
    expect(formatComma(drift)).toBe(words);
    expect(toCents(drift)).toBeCloseTo(cents, 3);
  });
});
