import { retune } from '../../src/app/retune.js';
import { parseMidiFile, toTempoMap } from '../../src/core/midi/index.js';
import { toFifths } from '../../src/core/theory/index.js';
import { type Strategy, type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import { type HeardNote, hear } from './corpus/heard.js';
import { addPerformance, createTally, type Figures, toFigures } from './corpus/measure.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { anchorPlainly } from './corpus/plain-anchor.js';
import { BETTER_PLAIN_RULE, PLAIN_RULE, type PlainRule, performPlainly } from './corpus/plain-rule.js';
import { addSevens, createSevensTally } from './corpus/sevens.js';

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

const HEAD = [
  'corpus',
  'rule',
  'pure %',
  'shifted %',
  'worth',
  '> 5 c %',
  'shift rms',
  'moved rms',
  'home rms',
  'farthest',
  'spelled %',
  'bytes/note',
];
console.log(`| ${HEAD.join(' | ')} |`);
console.log(
  `|---|---|${HEAD.slice(2)
    .map(() => '--:')
    .join('|')}|`,
);
for (const { name, pieces } of readCorpora(folder)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  const notes = pieces.reduce((sum, piece) => sum + piece.notes.length, 0);
  const title = `${name} (${notes})`;
  row(title, 'plain rule', measurePlain(pieces, PLAIN_RULE));
  row('', 'better plain rule', measurePlain(pieces, BETTER_PLAIN_RULE));
  for (const leeway of LEEWAYS)
    row('', `plain rule, anchored, leeway ${leeway}`, measurePlain(pieces, PLAIN_RULE, leeway));
  for (const { label, changes } of STRATEGIES) row('', label, measure(pieces, toSettings(changes)));
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

function measure(pieces: readonly Piece[], settings: TunerSettings): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const read = parseMidiFile(piece.bytes);
    if (!read.ok) throw new Error(`${piece.id}: ${read.problem.message}`);
    const places = new Map<string, number>();
    const retuned = retune(
      read.value.file,
      { settings, outlet: { kind: 'mpe', bendRange: 48 } },
      {
        end: (_, note) => {
          places.set(`${Math.round(note.struckMs)} ${note.key} ${note.part}`, toFifths(note.point));
        },
      },
    );
    const toMs = toTempoMap(read.value.file).toMs;
    const parts = retuned.sequences[0].parts.parts;
    const placeOf = (note: HeardNote): number => {
      const part = parts.findIndex(({ track }) => track === note.written.voice + 1);
      return places.get(`${Math.round(toMs(note.onTick))} ${note.written.midi} ${part}`) ?? Number.NaN;
    };
    addPerformance(tally, hear(piece, retuned.file), placeOf);
  }
  return toFigures(tally);
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

function row(title: string, label: string, f: Figures): void {
  const cells = [
    f.pure,
    f.shifted,
    f.worth,
    f.shiftedFar,
    f.shiftRms,
    f.movedRms,
    f.homeRms,
    f.farthest,
    f.spelled,
  ];
  const shown = cells.map((value) => value.toFixed(2));
  const bytes = f.wireBytesPerNote === 0 ? '' : f.wireBytesPerNote.toFixed(1);
  console.log(`| ${title} | ${label} | ${shown.join(' | ')} | ${bytes} |`);
}
