import { parseArgs } from 'node:util';
import { parseMidiFile, toTempoMap } from '../../src/core/midi/index.js';
import { DEFAULT_SHIFT_PRICE } from '../../src/core/score/plan/return-prices.js';
import { type Strategy, type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import { writePlace } from '../support/document.js';
import type { HeardNote, Performance } from './corpus/heard.js';
import { performLeastSquares } from './corpus/least-squares.js';
import { addPerformance, createTally, type Figures, toFigures } from './corpus/measure.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { anchorPlainly } from './corpus/plain-anchor.js';
import { BETTER_PLAIN_RULE, PLAIN_RULE, type PlainRule, performPlainly } from './corpus/plain-rule.js';
import { findEquallyPure, measurePlan, type PlanEffort } from './corpus/plans.js';
import { measureRetuned } from './corpus/retuned.js';
import { addSevens, createSevensTally } from './corpus/sevens.js';
import { formatHead, formatRow } from './corpus/table.js';

/**
 * Measures every strategy, and plans of the whole piece, on a folder of corpora: each piece is retuned to a file, and the
 * figures come from what that file sounds like. Beside them, in the same run, two plain rules and a published scheme of
 * least squares. Takes some minutes, most of them for the prices at which plans are as pure as the live rule.
 *
 *     npm run bench:corpus -- FOLDER [CORPUS …] [--write]
 *
 * `--write` puts what was measured, on all corpora, into README.md beside this file.
 */
const {
  values: { write },
  positionals: [folder, ...wanted],
} = parseArgs({ allowPositionals: true, options: { write: { type: 'boolean', default: false } } });
if (folder === undefined || (write && wanted.length > 0)) {
  console.error(
    'Name the folder of corpora, and with --write no corpus: npm run bench:corpus -- FOLDER --write',
  );
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
  // As the plain anchor moves: at once. During a glide nothing is quite pure.
  {
    label: 'anchored, leeway 0, no glide',
    changes: { strategy: 'anchored', leewayCents: 0, glideMs: 0 },
  },
  { label: 'temper', changes: { strategy: 'temper' } },
  { label: 'free, 7-limit', changes: { strategy: 'free', limit: 7 } },
];

const start = performance.now();
const corpora = readCorpora(folder).filter(({ name }) => wanted.length === 0 || wanted.includes(name));
const efforts = new Map<string, PlanEffort>();
const lives = new Map<string, Figures>();
const plans = new Map<string, Figures>();
const lines: string[] = [];
say(...formatHead());
for (const { name, pieces } of corpora) {
  const notes = pieces.reduce((sum, piece) => sum + piece.notes.length, 0);
  const title = `${name} (${notes})`;
  row(title, 'plain rule', measurePlain(pieces, PLAIN_RULE));
  row('', 'better plain rule', measurePlain(pieces, BETTER_PLAIN_RULE));
  for (const leeway of LEEWAYS)
    row('', `plain rule, anchored, leeway ${leeway}`, measurePlain(pieces, PLAIN_RULE, leeway));
  row(
    '',
    'least squares',
    measureBeside(pieces, (piece, seconds) => ({ performance: performLeastSquares(piece, seconds) })),
  );
  for (const { label, changes } of STRATEGIES) {
    const figures = measureRetuned(pieces, toSettings(changes), 'live');
    row('', label, figures);
    if (label === 'free') lives.set(name, figures);
  }
  const free = measurePlan(pieces, 'free');
  row('', 'plan whole, free', free.figures);
  efforts.set(name, free.effort);
  plans.set(name, free.figures);
  row('', 'plan whole, anchored', measurePlan(pieces, 'anchored').figures);
}

say(
  '',
  'How often a plan is known to be the best there is by its own measure, and the time it takes to plan, retune and measure:',
  '',
  '| corpus | pieces | known to be best | ms a note |',
  '|---|--:|--:|--:|',
);
for (const [name, { pieces, notes, best, seconds }] of efforts)
  say(`| ${name} | ${pieces} | ${best} | ${((1000 * seconds) / notes).toFixed(2)} |`);

say(
  '',
  `Fewer shifts than by the live rule under \`free\`: by the plan as it is, and at the price of a shift (default: ${DEFAULT_SHIFT_PRICE}) at which it is just as pure as the live rule:`,
  '',
  '| corpus | live: pure % | shifted % | plan: pure % | shifted % | fewer shifts | at the price | pure % | shifted % | fewer shifts |',
  '|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|',
);
for (const { name, pieces } of corpora) {
  const live = lives.get(name);
  const planned = plans.get(name);
  if (live === undefined || planned === undefined) continue;
  const found = findEquallyPure(pieces, live.pure);
  const toCells = ({ pure, shifted }: Figures) => [
    pure.toFixed(2),
    shifted.toFixed(2),
    `${(100 * (1 - shifted / live.shifted)).toFixed(1)} %`,
  ];
  const equal =
    found === undefined ? ['none', '', '', ''] : [found.price.toFixed(2), ...toCells(found.figures)];
  say(`| ${[name, ...toCells(live).slice(0, 2), ...toCells(planned), ...equal].join(' | ')} |`);
}

say(
  '',
  'Prime 7, in the 7-limit, `free`:',
  '',
  '| corpus | dominant sevenths at 4:5:6:7 | dominant ninths at 4:5:6:7:9 | bare whole tones at 8/7 | triads with a 7 inside | pieces that end moved by a 7 |',
  '|---|--:|--:|--:|--:|--:|',
);
for (const { name, pieces } of corpora) {
  const t = createSevensTally();
  for (const piece of pieces) {
    const read = parseMidiFile(piece.bytes);
    if (read.ok) addSevens(t, read.value.file);
  }
  const cells = [
    `${t.pureDominants} of ${t.dominants}`,
    `${t.pureNinths} of ${t.ninths}`,
    `${t.septimalTones} of ${t.wholeTones}`,
    `${t.triadsWithSeven} of ${t.triads}`,
    `${t.draggedPieces} of ${t.pieces}`,
  ];
  say(`| ${name} | ${cells.join(' | ')} |`);
}

if (write)
  writePlace(
    new URL('../../../tests/bench/README.md', import.meta.url),
    'figures of corpora',
    lines.join('\n'),
  );
console.log(`\nMeasured in ${((performance.now() - start) / 60_000).toFixed(1)} minutes.`);

function measurePlain(pieces: readonly Piece[], rule: PlainRule, leewayCents = Infinity): Figures {
  return measureBeside(pieces, (piece, secondsPerQuarter) => {
    const { performance, placeOf } = performPlainly(piece, rule, secondsPerQuarter);
    return leewayCents === Infinity
      ? { performance, placeOf }
      : { performance: anchorPlainly(performance, leewayCents), placeOf };
  });
}

/** The figures of a rule that shares nothing with the tuner. */
function measureBeside(
  pieces: readonly Piece[],
  perform: (
    piece: Piece,
    secondsPerQuarter: number,
  ) => { performance: Performance; placeOf?: (note: HeardNote) => number },
): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const read = parseMidiFile(piece.bytes);
    if (!read.ok || read.value.file.division.kind !== 'ppq') throw new Error(`${piece.id} can't be read`);
    const quarterMs = toTempoMap(read.value.file).toMs(read.value.file.division.ticksPerQuarter);
    const { performance, placeOf } = perform(piece, quarterMs / 1000);
    addPerformance(tally, performance, placeOf);
  }
  return toFigures(tally);
}

function row(title: string, label: string, figures: Figures): void {
  say(formatRow(title, label, figures));
}

/** Prints lines, and keeps them. */
function say(...more: string[]): void {
  for (const line of more) console.log(line);
  lines.push(...more);
}
