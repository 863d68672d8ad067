import { parseArgs } from 'node:util';
import { retune } from '../../src/app/retune.js';
import { parseMidiFile, tracksOf } from '../../src/core/midi/index.js';
import { toMeanCents, toPureShare } from '../../src/core/score/figures/figures.js';
import { forEachStretch } from '../../src/core/score/figures/stretches.js';
import { DEFAULT_PLAN, PieceRecorder, type Planning } from '../../src/core/score/index.js';
import { toCents } from '../../src/core/theory/index.js';
import { type Strategy, toSettings } from '../../src/core/tuner/index.js';
import { writePlace } from '../support/document.js';
import { type Piece, readCorpora } from './corpus/pieces.js';

/**
 * Retunes every piece of a folder of corpora with its lowest voice fixed in 12 equal, under `free` and `anchored`, live
 * and planned, and prints how pure the others are to it and to each other.
 *
 *     npm run bench:partner -- FOLDER [CORPUS …] [--write]
 *
 * `--write` puts what was measured, on all corpora, into README.md beside this file.
 */
const {
  values: { write },
  positionals: [folder, ...wanted],
} = parseArgs({ allowPositionals: true, options: { write: { type: 'boolean', default: false } } });
if (folder === undefined || (write && wanted.length > 0)) {
  console.error(
    'Name the folder of corpora, and with --write no corpus: npm run bench:partner -- FOLDER --write',
  );
  process.exit(2);
}
/** Tied notes glide for so long after a strike: what sounds then isn't counted. */
const GLIDE_MS = 80;
const EQUAL = new Array<number>(12).fill(0);

const PLANS = [
  ['live', 'live'],
  ['plan whole', DEFAULT_PLAN],
] as const;
const lines = [
  '| corpus | tuning | pure to the bass % | pure % | home rms | farthest | drift at the end, mean |',
  '|---|---|--:|--:|--:|--:|--:|',
];
for (const { name, pieces } of readCorpora(folder)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  for (const strategy of ['free', 'anchored'] as const)
    for (const [label, plan] of PLANS)
      lines.push(`| ${name} | ${label}, ${strategy} | ${measure(pieces, strategy, plan).join(' | ')} |`);
}
console.log(lines.join('\n'));
if (write)
  writePlace(new URL('../../../tests/bench/README.md', import.meta.url), 'fixed bass', lines.join('\n'));

/** Shares of the time that consonances sound, distance from home, and the mean of the exact drifts at the end. */
function measure(pieces: readonly Piece[], strategy: Strategy, plan: Planning): string[] {
  const settings = toSettings({ strategy });
  const sums = { bassMs: 0, bassPure: 0, allMs: 0, allPure: 0, ms: 0, squares: 0, farthest: 0, drift: 0 };
  for (const { bytes, notes } of pieces) {
    const read = parseMidiFile(bytes);
    if (!read.ok) throw new Error(read.problem.message);
    const { file } = read.value;
    const voices = [...new Set(notes.map(({ voice }) => voice))];
    const meanKey = (voice: number) => {
      const its = notes.filter((note) => note.voice === voice);
      return its.reduce((sum, { midi }) => sum + midi, 0) / its.length;
    };
    const bass = voices.reduce((low, voice) => (meanKey(voice) < meanKey(low) ? voice : low));
    const recorder = new PieceRecorder();
    const roles = [{ number: bass + 1, role: 'fixed', fixedCents: EQUAL }] as const;
    const { sequences } = retune(
      file,
      { settings, outlet: { kind: 'mpe', bendRange: 48 }, plan, roles },
      recorder,
    );
    const [{ parts, ending }] = sequences;
    if (tracksOf(file).length <= bass + 1) throw new Error('the bass has no track');
    const isFixed = (part: number) => parts.parts[part].role === 'fixed';
    forEachStretch(recorder.toNotes(), (fromMs, untilMs, sounding) => {
      const struckMs = Math.max(...sounding.map(({ note }) => note.onMs));
      const ms = untilMs - Math.max(fromMs, struckMs + GLIDE_MS);
      if (ms <= 0) return;
      for (let i = 0; i < sounding.length; i++)
        for (let j = i + 1; j < sounding.length; j++) {
          const pair = [sounding[i], sounding[j]];
          const share = toPureShare(pair);
          if (share === undefined) continue;
          sums.allMs += ms;
          sums.allPure += share * ms;
          if (isFixed(pair[0].note.part) === isFixed(pair[1].note.part)) continue;
          sums.bassMs += ms;
          sums.bassPure += share * ms;
        }
      const away = toMeanCents(sounding, () => 0);
      sums.ms += ms;
      sums.squares += away ** 2 * ms;
      sums.farthest = Math.max(sums.farthest, Math.abs(away));
    });
    if (ending !== undefined) sums.drift += Math.abs(toCents(ending.drift.commas)) / pieces.length;
  }
  return [
    ((100 * sums.bassPure) / sums.bassMs).toFixed(2),
    ((100 * sums.allPure) / sums.allMs).toFixed(2),
    Math.sqrt(sums.squares / sums.ms).toFixed(2),
    sums.farthest.toFixed(1),
    sums.drift.toFixed(1),
  ];
}
