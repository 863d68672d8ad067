import { readFile } from 'node:fs/promises';
import { toOnePiece } from '../app/compare/versions.js';
import type { ComparisonDone } from '../app/compare/write-comparison.js';
import { writeComparison } from '../app/compare/write-comparison.js';
import { isFile } from '../app/folders.js';
import { nameInput, openMidi, STANDARD_STREAM, toTitle } from '../app/midi-source.js';
import { openSoundSource } from '../app/sound-source.js';
import { toRoleWarnings, toRulesOfPiece } from '../app/track-roles.js';
import { tracksOf } from '../core/midi/index.js';
import { formatComma } from '../core/theory/index.js';
import { count, formatSigned, formatSize } from '../core/words/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatWarning } from './format/errors.js';
import { openProgress } from './progress.js';
import { toOwnPath } from './root.js';
import { complain, say } from './say.js';
import {
  gatherChoices,
  noSuchPiece,
  type RawOptions,
  readRenderChoices,
  toOutletChoice,
  toPlanning,
  toRemarks,
  toTunerSettings,
} from './settings/index.js';
import { StopSignal } from './stop-signal.js';
import { toAccess } from './streams.js';
import type { World } from './world.js';

/**
 * `leeway compare INPUT -o DIR`: a piece under every strategy and in 12 equal, as files, sound, picture, tables and a
 * page. Throws a LeewayError if it can't be read or written, or is stopped.
 */
export async function runCompare(input: string, options: RawOptions, world: World): Promise<ExitCode> {
  const gathered = await gatherChoices(options);
  // Here --rate is the speed of the pull; sound has its default rate.
  const sounds = readRenderChoices({ ...options, rate: undefined });
  if (!gathered.ok || !sounds.ok) {
    complain(world, [...(gathered.ok ? [] : gathered.mistakes), ...(sounds.ok ? [] : sounds.mistakes)]);
    return EXIT.mistake;
  }
  const { choices } = sounds;
  for (const remark of toRemarks(gathered.given, gathered.all))
    say(world.stderr, [`leeway: note: ${remark}.`]);
  const folder = String(options.output);
  if (folder === STANDARD_STREAM || (await isFile(folder))) throw notAFolder(folder);

  const { file, warnings } = await openMidi(input, toAccess(world));
  for (const warning of [...warnings, ...toRoleWarnings(file, gathered.roles)])
    say(world.stderr, [formatWarning(warning, nameInput(input))]);
  const pieces = file.format === 2 ? tracksOf(file).length : 1;
  if (choices.piece > pieces) throw noSuchPiece(choices.piece, pieces);
  const source = await openSoundSource(choices.sound);
  const page = {
    script: await readPart('report.js'),
    style: await readPart('report.css'),
  };

  const progress = await openProgress(world);
  const ending = new StopSignal(world);
  try {
    const done = await writeComparison(
      {
        input,
        title: toTitle(input),
        file: toOnePiece(file, choices.piece - 1),
        folder,
        settings: toTunerSettings(gathered.all.tuning),
        outlet: toOutletChoice(gathered.all.outlet),
        roles: file.format === 2 ? toRulesOfPiece(gathered.roles, choices.piece - 1) : gathered.roles,
        planning: toPlanning(gathered.all.tuning),
        page,
        sound: options.sound === false ? undefined : { ...choices, createPlayers: source.createPlayers },
      },
      toAccess(world),
      (share) => {
        ending.check();
        progress.show(share);
      },
    );
    progress.stop();
    if (done.withoutPng !== undefined) complain(world, [done.withoutPng]);
    say(world.stdout, formatComparison(nameInput(input), folder, done));
    return EXIT.done;
  } finally {
    progress.stop();
    ending.forget();
  }
}

async function readPart(name: string): Promise<string> {
  try {
    return await readFile(toOwnPath(`dist/report/${name}`), 'utf8');
  } catch (error) {
    throw new LeewayError(
      {
        code: 'PAGE_MISSING',
        message: "The page of a comparison isn't built.",
        advice: 'Run npm run build in the folder of Leeway.',
      },
      { cause: error },
    );
  }
}

function notAFolder(path: string): LeewayError {
  return new LeewayError({
    code: 'OUTPUT_NOT_FOLDER',
    message: `A comparison is several files and needs a folder, not ${path === STANDARD_STREAM ? 'standard output' : path}.`,
    advice: 'Give the name of a folder to -o; it is made if it is not there.',
  });
}

/** The result of `leeway compare`: a row of figures each version, and the written files. */
function formatComparison(input: string, folder: string, { comparison, written }: ComparisonDone): string[] {
  const heads = [
    '',
    'pure',
    'beats of thirds',
    'returns elsewhere',
    'they jumped',
    'held notes glided',
    'drift at the end',
    'commas',
  ];
  const rows = comparison.versions.map(({ title, figures, totals, ending }) => [
    title,
    `${figures.purePercent.toFixed(1)} %`,
    formatBeats(figures.beats['major third']),
    totals === undefined ? '' : String(totals.returns),
    totals === undefined ? '' : formatSize(totals.jumpedCents),
    totals === undefined ? '' : formatSize(totals.glidedCents),
    ending === undefined ? '' : `${formatSigned(ending.drift.leftCents)} c`,
    ending === undefined ? '' : formatComma(ending.drift.commas),
  ]);
  const widths = heads.map((head, i) => Math.max(head.length, ...rows.map((row) => row[i].length)));
  const line = (cells: readonly string[]) =>
    `  ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  ')}`.trimEnd();
  return [
    `${input} → ${folder}`,
    line(heads),
    ...rows.map(line),
    `  ${count(written.length, 'file')}: ${written.join(', ')}`,
  ];
}

function formatBeats(beats: number | null): string {
  return beats === null ? '' : `${beats.toFixed(2)} a second`;
}
