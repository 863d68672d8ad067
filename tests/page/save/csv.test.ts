import { expect, test } from 'vitest';
import { toCsv } from '../../../src/page/save/csv.js';
import { toFileName } from '../../../src/page/save/download.js';
import { returnOf } from '../frames.js';

test('the saved CSV has drift, chords and ledger in order of time, with fields quoted where needed', () => {
  const log = {
    seconds: [0.5, 2],
    free: [0, -21.5061],
    pull: [0, -2],
    anchored: [0, -8],
    temper: [0, -2],
    chords: [{ atMs: 1000, names: 'C4⁰ E4⁻¹', proportion: '4:5', centre: [0, 0, 0] as const }],
  };
  const entry = returnOf({ atMs: 1500, comma: '−1 syntonic comma, +1 septimal comma' });
  expect(toCsv(log, [entry])).toBe(
    [
      'seconds,what,strategy,pass,note,ratio,comma,cents,free,pull,anchored,temper,text',
      '0.5,drift,,,,,,,0,0,0,0,',
      '1,chord,,,C4⁰ E4⁻¹,4:5,,,,,,,',
      '1.5,return,free,1,D4⁻¹,80/81,"−1 syntonic comma, +1 septimal comma",-21.506,,,,,10/9 instead of 9/8',
      '2,drift,,,,,,,-21.506,-2,-8,-2,',
      '',
    ].join('\r\n'),
  );
});

test('the names of saved files sort by time', () => {
  expect(toFileName('drift', 'svg', new Date(0))).toBe('leeway-drift-1970-01-01-0000.svg');
});
