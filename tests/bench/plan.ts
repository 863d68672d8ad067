import { retune } from '../../src/app/retune.js';
import { type PlanWish, STOCK_PLAN } from '../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../src/core/tuner/index.js';
import { joinPieces } from './corpus/join-pieces.js';
import type { Figures } from './corpus/measure.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { measureRetuned } from './corpus/retuned.js';
import { formatHead, formatRow } from './corpus/table.js';

/**
 * Measures plans of whole pieces on a folder of corpora, beside the live rule under every strategy: how pure, at what
 * price, how far from the best they can be, and how time and memory grow with the piece.
 *
 *     npm run bench:plan -- FOLDER [CORPUS …]
 */
const [folder, ...wanted] = process.argv.slice(2);
if (folder === undefined) {
  console.error('Name the folder of corpora: npm run bench:plan -- FOLDER');
  process.exit(2);
}
const corpora = readCorpora(folder).filter(({ name }) => wanted.length === 0 || wanted.includes(name));
const FREE = toSettings({ strategy: 'free' });

// First of all, since memory is told at its highest.
console.log('One piece, as long as it is asked to be:\n');
console.log('| notes | seconds | of the processor | memory at its highest, MB |\n|--:|--:|--:|--:|');
for (const notes of [1000, 10_000, 100_000]) {
  const file = joinPieces(corpora[0].pieces, notes);
  const [start, used] = [performance.now(), process.cpuUsage()];
  const { sequences } = retune(file, {
    settings: toSettings({}),
    outlet: { kind: 'mpe', bendRange: 48 },
    plan: STOCK_PLAN,
  });
  const seconds = (performance.now() - start) / 1000;
  const { user, system } = process.cpuUsage(used);
  const count = sequences[0].line.tuner.nextId;
  const megabytes = process.resourceUsage().maxRSS / 1024;
  const cells = [count, seconds.toFixed(1), ((user + system) / 1e6).toFixed(1), megabytes.toFixed(0)];
  console.log(`| ${cells.join(' | ')} |`);
}

/** What plans cost, summed over a corpus. */
interface Costs {
  notes: number;
  cost: number;
  live: number;
  least: number;
  seconds: number;
}

const costs = new Map<string, Costs>();
console.log();
for (const line of formatHead()) console.log(line);
const row = (title: string, label: string, figures: Figures) => console.log(formatRow(title, label, figures));
for (const { name, pieces } of corpora) {
  const notes = pieces.reduce((sum, piece) => sum + piece.notes.length, 0);
  row(`${name} (${notes})`, 'free', measureRetuned(pieces, FREE));
  row('', 'plan, free', measurePlan(name, pieces, 'free', STOCK_PLAN));
  row('', 'anchored, leeway 8', measureRetuned(pieces, toSettings({})));
  row('', 'plan, smooth 10', measurePlan('', pieces, 'anchored', STOCK_PLAN));
}

console.log('\nCosts a note, and how far a plan can be from the best:\n');
console.log(
  '| corpus | live rule | plan | at least | gap at most % | ms a note |\n|---|--:|--:|--:|--:|--:|',
);
for (const [name, { notes, cost, live, least, seconds }] of costs) {
  const gap = (100 * (cost - least)) / cost;
  const cells = [live / notes, cost / notes, least / notes].map((value) => value.toFixed(3));
  console.log(
    `| ${name} | ${cells.join(' | ')} | ${gap.toFixed(1)} | ${((1000 * seconds) / notes).toFixed(2)} |`,
  );
}

console.log('\nEqual purity, the way home, and what smooth does:\n');
for (const line of formatHead()) console.log(line);
for (const { name, pieces } of corpora) {
  const live = measureRetuned(pieces, FREE);
  row(name, 'free', live);
  const shiftPrice = findPrice(pieces, live.pure);
  const label = `plan, free, as pure as live (price ${shiftPrice.toFixed(2)})`;
  row('', label, measurePlan('', pieces, 'free', { ...STOCK_PLAN, shiftPrice }));
  row('', 'plan, free, end home', measurePlan('', pieces, 'free', { ...STOCK_PLAN, end: 'home' }));
  row('', 'pull 3 c/s, leeway 2', measureRetuned(pieces, toSettings({ strategy: 'pull' })));
  for (const smoothSeconds of [1, 100])
    row(
      '',
      `plan, smooth ${smoothSeconds}`,
      measurePlan('', pieces, 'anchored', { ...STOCK_PLAN, smoothSeconds }),
    );
  row('', 'temper', measureRetuned(pieces, toSettings({ strategy: 'temper' })));
}

/** Under a name the costs are kept for the last table. */
function measurePlan(name: string, pieces: readonly Piece[], strategy: Strategy, wish: PlanWish): Figures {
  const sums: Costs = { notes: 0, cost: 0, live: 0, least: 0, seconds: 0 };
  const start = performance.now();
  const figures = measureRetuned(pieces, toSettings({ strategy }), wish, ({ plan, line }) => {
    if (plan === undefined) return;
    sums.notes += line.tuner.nextId;
    sums.cost += plan.ratios.cost;
    sums.live += plan.ratios.liveCost;
    sums.least += plan.ratios.leastCost;
  });
  sums.seconds = (performance.now() - start) / 1000;
  if (name !== '') costs.set(name, sums);
  return figures;
}

/** The price of a note that comes back elsewhere at which a plan is as pure as the live rule: by halving, to 0.1. */
function findPrice(pieces: readonly Piece[], pure: number): number {
  let [low, high] = [1, 4];
  while (high - low > 0.1) {
    const shiftPrice = (low + high) / 2;
    const figures = measureRetuned(pieces, FREE, { ...STOCK_PLAN, shiftPrice });
    if (figures.pure >= pure) low = shiftPrice;
    else high = shiftPrice;
  }
  return low;
}
