import { parseArgs } from 'node:util';
import { DEFAULT_PLAN } from '../../src/core/score/index.js';
import { type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import { writePlace } from '../support/document.js';
import type { Figures } from './corpus/measure.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { measureRetuned } from './corpus/retuned.js';

/**
 * The frontier: what purity costs in notes that come back elsewhere. Every corpus is retuned by the live rule and by the
 * plan, drifting freely, at several values of a setting that trades the one for the other.
 *
 *     npm run bench:frontier -- FOLDER [CORPUS …] [--strategy free|pull|anchored] [--write]
 *
 * `--write` puts the table, of all corpora under `free`, into README.md beside this file.
 */
const STEPS: readonly { readonly label: string; readonly changes: Partial<TunerSettings> }[] = [
  0, 5, 12, 22,
].map((recallCents) => {
  const changes: Partial<TunerSettings> & { readonly recallCents: number } = { recallCents };
  return { label: String(recallCents), changes };
});
const STRATEGIES = ['free', 'pull', 'anchored'] as const;

const {
  values: { strategy: named, write },
  positionals: [folder, ...wanted],
} = parseArgs({
  allowPositionals: true,
  options: { strategy: { type: 'string', default: 'free' }, write: { type: 'boolean', default: false } },
});
const strategy = STRATEGIES.find((one) => one === named);
const isPart = wanted.length > 0 || strategy !== 'free';
if (folder === undefined || strategy === undefined || (write && isPart)) {
  console.error('Name the folder of corpora, and with --write nothing else.');
  process.exit(2);
}

const start = performance.now();
const lines = [
  '| corpus | recall, cents | live: pure % | shifted % | impure strikes % | plan: pure % | shifted % | impure strikes % | shifted, live ÷ plan |',
  '|---|--:|--:|--:|--:|--:|--:|--:|--:|',
];
console.log(lines.join('\n'));
for (const { name, pieces } of readCorpora(folder)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  for (const [i, { label, changes }] of STEPS.entries()) {
    const line = `| ${i === 0 ? name : ''} | ${label} | ${measure(pieces, changes).join(' | ')} |`;
    console.log(line);
    lines.push(line);
  }
}
if (write)
  writePlace(new URL('../../../tests/bench/README.md', import.meta.url), 'frontier', lines.join('\n'));
console.log(`\nMeasured in ${((performance.now() - start) / 60_000).toFixed(1)} minutes.`);

/** Live, planned, and how they compare. */
function measure(pieces: readonly Piece[], changes: Partial<TunerSettings>): string[] {
  const settings = toSettings({ strategy: strategy!, ...changes });
  const live = measureRetuned(pieces, settings, 'live');
  const plan = measureRetuned(pieces, settings, DEFAULT_PLAN);
  const toCells = ({ pure, shifted, strikes }: Figures) => [pure, shifted, strikes.impure];
  return [...toCells(live), ...toCells(plan), live.shifted / plan.shifted].map((value) => value.toFixed(2));
}
