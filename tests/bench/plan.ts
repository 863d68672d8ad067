import { parseArgs } from 'node:util';
import { retune } from '../../src/app/retune.js';
import { formatMidiFile } from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, type PlanOptions } from '../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../src/core/tuner/index.js';
import { writePlace } from '../support/document.js';
import { joinPieces } from './corpus/join-pieces.js';
import { readCorpora } from './corpus/pieces.js';
import { measurePlan } from './corpus/plans.js';
import { formatHead, formatRow } from './corpus/table.js';
import { formatHomeHead, formatHomeRow, makeLoop } from './corpus/way-home.js';

/**
 * Measures what is asked of plans of whole pieces, on a folder of corpora: how time and memory grow with the piece, and
 * what `--smooth` and the way home do, this on made loops too, whose common notes are tied. How pure plans are, and at what price, `bench:corpus` tells.
 *
 *     npm run bench:plan -- FOLDER [CORPUS …] [--write]
 *
 * `--write` puts time and memory into README.md beside this file.
 */
const {
  values: { write },
  positionals: [folder, ...wanted],
} = parseArgs({ allowPositionals: true, options: { write: { type: 'boolean', default: false } } });
if (folder === undefined) {
  console.error('Name the folder of corpora: npm run bench:plan -- FOLDER');
  process.exit(2);
}
const corpora = readCorpora(folder).filter(({ name }) => wanted.length === 0 || wanted.includes(name));

// First of all, since memory is told at its highest.
console.log('One piece, as long as it is asked to be:\n');
const lines = ['| notes | seconds | of the processor | memory at its highest, MB |', '|--:|--:|--:|--:|'];
for (const notes of [1000, 10_000, 100_000]) {
  const file = joinPieces(corpora[0].pieces, notes);
  const [start, used] = [performance.now(), process.cpuUsage()];
  const { sequences } = retune(file, {
    settings: toSettings({}),
    outlet: { kind: 'mpe', bendRange: 48 },
    plan: DEFAULT_PLAN,
  });
  const seconds = (performance.now() - start) / 1000;
  const { user, system } = process.cpuUsage(used);
  const count = sequences[0].line.tuner.nextId;
  const megabytes = process.resourceUsage().maxRSS / 1024;
  const cells = [count, seconds.toFixed(1), ((user + system) / 1e6).toFixed(1), megabytes.toFixed(0)];
  lines.push(`| ${cells.join(' | ')} |`);
}
console.log(lines.join('\n'));
if (write)
  writePlace(new URL('../../../tests/bench/README.md', import.meta.url), 'long pieces', lines.join('\n'));

console.log('\nWhat smooth does:\n');
for (const line of formatHead()) console.log(line);
for (const { name, pieces } of corpora) {
  const row = (label: string, strategy: Strategy, changes: Partial<PlanOptions>) =>
    console.log(
      formatRow(name, label, measurePlan(pieces, strategy, { ...DEFAULT_PLAN, ...changes }).figures),
    );
  row('free', 'free', {});
  row('pull', 'pull', {});
  for (const smoothSeconds of [0, 10, 30, 100])
    row(`anchored, smooth ${smoothSeconds}`, 'anchored', { smoothSeconds });
}

console.log('\nThe way home:\n');
for (const line of formatHomeHead()) console.log(line);
for (const strategy of ['free', 'pull', 'anchored'] as const) {
  for (const { name, pieces } of corpora)
    console.log(
      formatHomeRow(
        name,
        strategy,
        pieces.map(({ bytes }) => bytes),
      ),
    );
  for (const chordSeconds of [1, 2, 4]) {
    for (const bars of [120, 300, 900]) {
      const title = `loop of ${bars} bars, ${chordSeconds} s each`;
      console.log(formatHomeRow(title, strategy, [formatMidiFile(makeLoop(bars, chordSeconds))]));
    }
  }
}
