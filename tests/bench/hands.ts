import { parseArgs } from 'node:util';
import { retune } from '../../src/app/retune.js';
import { DEFAULT_PLAN, type Planning } from '../../src/core/score/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { writePlace } from '../support/document.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { MODES, type Mode, playByHand, toFile } from './hands/played.js';
import { addHands, createHandsTally, type HandsFigures, toHandsFigures } from './hands/score.js';

/**
 * Measures what human hands do to the tuning: pieces played as a person plays them, see `hands/played.ts`, retuned under
 * `free` by the live rule, or with `--plan` by plans of the whole piece, and judged by what is written.
 *
 *     npm run bench:hands -- FOLDER [CORPUS …] [--plan] [--write]
 *
 * Of a folder of corpora chorales, hymns and renaissance are played unless others are named. `--write` puts the table
 * into README.md beside this file.
 */
const CORPORA = ['chorales', 'hymns', 'renaissance'];
const {
  values: { write, plan },
  positionals: [folder, ...wanted],
} = parseArgs({
  allowPositionals: true,
  options: { write: { type: 'boolean', default: false }, plan: { type: 'boolean', default: false } },
});
if (folder === undefined || (write && wanted.length > 0)) {
  console.error(
    'Name the folder of corpora, and with --write no corpus: npm run bench:hands -- FOLDER --write',
  );
  process.exit(2);
}
const README = new URL('../../../tests/bench/README.md', import.meta.url);
const names = wanted.length > 0 ? wanted : CORPORA;
const planning: Planning = plan ? DEFAULT_PLAN : 'live';

const start = performance.now();
const lines = [
  '| corpus | played | pure % | > 10 c off % | back elsewhere % | moved after the strike % |',
  '|---|---|--:|--:|--:|--:|',
];
console.log(lines.join('\n'));
for (const { name, pieces } of readCorpora(folder).filter((corpus) => names.includes(corpus.name))) {
  for (const mode of MODES) {
    const { pure, far, shifted, moved } = measure(pieces, mode);
    const cells = [pure, far, shifted, moved].map((value) => value.toFixed(2));
    const line = `| ${mode === MODES[0] ? name : ''} | ${mode} | ${cells.join(' | ')} |`;
    console.log(line);
    lines.push(line);
  }
}
if (write) writePlace(README, plan ? 'human hands planned' : 'human hands', lines.join('\n'));
console.log(`\nMeasured in ${((performance.now() - start) / 60_000).toFixed(1)} minutes.`);

function measure(pieces: readonly Piece[], mode: Mode): HandsFigures {
  const tally = createHandsTally();
  const settings = toSettings({ strategy: 'free' });
  for (const piece of pieces) {
    const played = playByHand(piece, mode);
    const { file } = retune(toFile(played), {
      settings,
      outlet: { kind: 'mpe', bendRange: 48 },
      plan: planning,
    });
    addHands(tally, played, file);
  }
  if (tally.lost > tally.notes / 50) throw new Error(`${tally.lost} notes of ${tally.notes} not found`);
  return toHandsFigures(tally);
}
