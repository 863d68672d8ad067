import { parseMidiFile, toTempoMap } from '../../src/core/midi/index.js';
import { type Strategy, type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import { addPerformance, createTally, type Figures, toFigures } from './corpus/measure.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { anchorPlainly } from './corpus/plain-anchor.js';
import { BETTER_PLAIN_RULE, PLAIN_RULE, type PlainRule, performPlainly } from './corpus/plain-rule.js';
import { measureRetuned } from './corpus/retuned.js';
import { addSevens, createSevensTally } from './corpus/sevens.js';
import { formatHead, formatRow } from './corpus/table.js';

/**
 * Measures the stock rule on a folder of corpora: each piece is retuned to a file, and the figures come from what that
 * file sounds like. Beside it, in the same run, two plain rules.
 *
 *     npm run bench:corpus -- FOLDER [CORPUS …]
 */
const [folder, ...wanted] = process.argv.slice(2);
if (folder === undefined) {
  console.error('Name the folder of corpora: npm run bench:corpus -- FOLDER');
  process.exit(2);
}

const LEEWAYS = [0, 4, 8, 12];
const STRATEGIES: { label: string; changes: Partial<TunerSettings> }[] = [
  { label: 'free', changes: { strategy: 'free' } },
  { label: 'pull 3 c/s, leeway 2', changes: { strategy: 'pull' } },
  ...LEEWAYS.map((leewayCents) => ({
    label: `anchored, leeway ${leewayCents}`,
    changes: { strategy: 'anchored' as Strategy, leewayCents },
  })),
  { label: 'temper', changes: { strategy: 'temper' } },
  { label: 'free, 7-limit', changes: { strategy: 'free', limit: 7 } },
];

for (const line of formatHead()) console.log(line);
for (const { name, pieces } of readCorpora(folder)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  const notes = pieces.reduce((sum, piece) => sum + piece.notes.length, 0);
  const title = `${name} (${notes})`;
  row(title, 'plain rule', measurePlain(pieces, PLAIN_RULE));
  row('', 'better plain rule', measurePlain(pieces, BETTER_PLAIN_RULE));
  for (const leeway of LEEWAYS)
    row('', `plain rule, anchored, leeway ${leeway}`, measurePlain(pieces, PLAIN_RULE, leeway));
  for (const { label, changes } of STRATEGIES) row('', label, measureRetuned(pieces, toSettings(changes)));
}

console.log('\nPrime 7, in the 7-limit, `free`:\n');
console.log(
  '| corpus | dominant sevenths at 4:5:6:7 | bare whole tones at 8/7 | triads with a 7 inside | pieces that end moved by a 7 |',
);
console.log('|---|--:|--:|--:|--:|');
for (const { name, pieces } of readCorpora(folder)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  const t = createSevensTally();
  for (const piece of pieces) {
    const read = parseMidiFile(piece.bytes);
    if (read.ok) addSevens(t, read.value.file);
  }
  const cells = [
    `${t.pureDominants} of ${t.dominants}`,
    `${t.septimalTones} of ${t.wholeTones}`,
    `${t.triadsWithSeven} of ${t.triads}`,
    `${t.draggedPieces} of ${t.pieces}`,
  ];
  console.log(`| ${name} | ${cells.join(' | ')} |`);
}

function measurePlain(pieces: readonly Piece[], rule: PlainRule, leewayCents = Infinity): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const read = parseMidiFile(piece.bytes);
    if (!read.ok || read.value.file.division.kind !== 'ppq') throw new Error(`${piece.id} can't be read`);
    const quarterMs = toTempoMap(read.value.file).toMs(read.value.file.division.ticksPerQuarter);
    const { performance, placeOf } = performPlainly(piece, rule, quarterMs / 1000);
    addPerformance(
      tally,
      leewayCents === Infinity ? performance : anchorPlainly(performance, leewayCents),
      placeOf,
    );
  }
  return toFigures(tally);
}

function row(title: string, label: string, figures: Figures): void {
  console.log(formatRow(title, label, figures));
}
