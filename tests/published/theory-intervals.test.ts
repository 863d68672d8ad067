import { describe, expect, test } from 'vitest';
import { divide, intervalName, ratio, toCents } from '../../src/core/theory/index.js';
import { expectPrinted, type PrintedTable, printed } from '../core/theory/help.js';

const TABLES: readonly PrintedTable[] = [
  {
    source: 'C. Barlow, "Two Essays on Theory", Computer Music EventQueue 11(1), 1987, Table 2',
    rows: printed(`
      1/1 0, 16/15 111.731, 10/9 182.404, 9/8 203.910, 8/7 231.174, 7/6 266.871, 32/27 294.135,
      6/5 315.641, 5/4 386.314, 81/64 407.820, 9/7 435.084, 4/3 498.045, 27/20 519.551, 3/2 701.955,
      14/9 764.916, 8/5 813.686, 5/3 884.359, 27/16 905.865, 12/7 933.129, 7/4 968.826, 16/9 996.090,
      9/5 1017.596, 15/8 1088.269, 2/1 1200.000`),
  },
  {
    source: '"List of intervals in 5-limit just intonation", encyclopaedia page, two decimals',
    rows: printed(`
      25/24 70.67, 27/25 133.24, 800/729 160.90, 256/225 223.46, 125/108 253.08, 75/64 274.58`),
  },
  {
    source: 'H. Partch, Genesis of a Music, 2nd ed., p. 135, one decimal',
    rows: printed('21/20 84.5, 12/11 150.6, 11/10 165.0'),
  },
  {
    source: 'web table of small commas, three decimals',
    rows: printed('256/243 90.225, 135/128 92.179, 2187/2048 113.685'),
  },
  {
    source: 'from memory: handbook values, not seen in print',
    rows: printed(`
      15/14 119.4428, 32/25 427.3726, 25/18 568.7174, 45/32 590.2237, 64/45 609.7763, 729/512 611.7300,
      25/16 772.6274, 125/72 955.0311, 243/128 1109.7750`),
  },
  {
    source: 'web table of the 13-limit, three decimals',
    rows: printed(`
      14/13 128.298, 13/12 138.573, 15/13 247.741, 13/11 289.210, 16/13 359.472, 13/10 454.214,
      18/13 563.382, 13/9 636.618`),
  },
  {
    source: "H. Partch's 43-tone scale as tabulated on the web, to seven decimals",
    rows: printed(`
      11/9 347.4079406, 14/11 417.5079641, 21/16 470.7809073, 11/8 551.31794, 7/5 582.5121926,
      10/7 617.4878074, 16/11 648.6820576, 40/27 680.4487113, 32/21 729.2190927, 11/7 782.492,
      18/11 852.5920594, 20/11 1034.995772, 11/6 1049.362941, 40/21 1115.533, 64/33 1146.727057,
      160/81 1178.49371`),
  },
  {
    source: 'archived mailing-list post, two decimals',
    rows: printed('36/25 631.28'),
  },
  {
    source: 'web encyclopaedia, pages of single intervals',
    rows: printed('128/81 792.2, 13/8 840.5, 22/13 910.7903'),
  },
];

describe.each(TABLES)('$source', ({ rows }) => {
  test.each(rows)('%s is %s cents', (text, printed) => {
    expectPrinted(toCents(ratio(text)), printed);
  });

  test.each(rows)('%s has a name', (text) => expect(intervalName(ratio(text))).toBeDefined());

  test('and its octave complement make 1200 cents', () => {
    for (const [text, printed] of rows) {
      expectPrinted(1200 - toCents(divide(ratio('2/1'), ratio(text))), printed);
    }
  });
});

test('the printed tables cover the whole table of intervals', () => {
  expect(TABLES.flatMap((table) => table.rows)).toHaveLength(73);
});
