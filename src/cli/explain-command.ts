import { createColors } from 'picocolors';
import { type BarRange, explain } from '../app/explain.js';
import { toExplanationJson } from '../app/explanation-json.js';
import { nameInput, openMidi } from '../app/midi-source.js';
import type { SheetPaper } from '../app/sheet/sheet-style.js';
import { formatPaper } from '../app/sheet/sheet-style.js';
import type { SheetDone } from '../app/sheet/write-sheet.js';
import { toSheetKind, writeSheet } from '../app/sheet/write-sheet.js';
import { toRoleWarnings } from '../app/track-roles.js';
import { count } from '../core/words/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatWarning } from './format/errors.js';
import { formatHead, formatMoment, formatTail } from './format/piece.js';
import { formatSettings } from './format/settings.js';
import { complain, hasColour, say } from './say.js';
import {
  gatherChoices,
  OPTIONS,
  OptionReader,
  type RawOptions,
  toPlanning,
  toTunerSettings,
} from './settings/index.js';
import { toAccess } from './streams.js';
import type { World } from './world.js';

/**
 * `leeway explain INPUT`: explains a file chord by chord. Throws a LeewayError if it can't be read, or its sheet not
 * written.
 */
export async function runExplain(input: string, options: RawOptions, world: World): Promise<ExitCode> {
  const mistakes: LeewayError[] = [];
  const bars = readBars(options, mistakes);
  const paper = readPaper(options, mistakes);
  const sheet = typeof options.sheet === 'string' ? options.sheet : undefined;
  if (sheet !== undefined) toSheetKind(sheet);
  const gathered = await gatherChoices(options);
  if (!gathered.ok || mistakes.length > 0) {
    complain(world, [...(gathered.ok ? [] : gathered.mistakes), ...mistakes]);
    return EXIT.mistake;
  }
  if (sheet === undefined && (options.paper !== undefined || options.portrait === true))
    say(world.stderr, [
      'leeway: note: --paper and --portrait are for a sheet; without --sheet there is none.',
    ]);
  const { file, warnings: slips } = await openMidi(input, toAccess(world));
  const settings = toTunerSettings(gathered.all.tuning);
  const planning = toPlanning(gathered.all.tuning);
  const pieces = explain(file, settings, planning, bars, gathered.roles);
  const warnings = [...slips, ...toRoleWarnings(file, gathered.roles)];
  for (const warning of warnings) say(world.stderr, [formatWarning(warning, nameInput(input))]);
  const done =
    sheet === undefined
      ? undefined
      : await writeSheet(
          sheet,
          pieces,
          { input, how: formatSettings(settings, planning), bars, paper },
          toAccess(world),
        );
  if (options.json === true) {
    say(world.stdout, [
      JSON.stringify(toExplanationJson(input, settings, planning, warnings, pieces), null, 2),
    ]);
    return EXIT.done;
  }
  if (sheet !== undefined && done !== undefined) {
    say(world.stdout, formatSheet(nameInput(input), sheet, done));
    return EXIT.done;
  }
  const colors = createColors(hasColour(world.stdout, world));
  for (const piece of pieces) {
    say(world.stdout, [...formatHead(nameInput(input), piece, colors), '']);
    for (const moment of piece.moments) say(world.stdout, [...formatMoment(moment, piece, colors), '']);
    if (piece.moments.length === 0) say(world.stdout, [toNothing(piece.momentCount, piece.lastBar), '']);
    say(world.stdout, formatTail(piece, colors));
  }
  return EXIT.done;
}

function toNothing(momentCount: number, lastBar: number): string {
  if (momentCount === 0) return '  There is no note to tune.';
  return `  No note is struck in these bars; the last one of the piece is in bar ${lastBar}.`;
}

function readPaper(options: RawOptions, mistakes: LeewayError[]): SheetPaper {
  const paper = typeof options.paper === 'string' ? options.paper.toLowerCase() : undefined;
  const size = new OptionReader({ paper }, mistakes).take(OPTIONS.paper);
  return { size, isPortrait: options.portrait === true };
}

/** The requested bars; undefined for all. */
function readBars(options: RawOptions, mistakes: LeewayError[]): BarRange | undefined {
  if (options.from === undefined && options.to === undefined) return undefined;
  const reader = new OptionReader(options, mistakes);
  const range = { from: reader.take(OPTIONS.from) ?? 1, to: reader.take(OPTIONS.to) ?? Infinity };
  if (range.from > range.to) {
    mistakes.push(
      new LeewayError({
        code: 'BARS_BACKWARD',
        message: `--from ${range.from} is after --to ${range.to}.`,
        advice: 'Give the earlier bar to --from; both bars are included.',
      }),
    );
  }
  return range;
}

function formatSheet(name: string, path: string, { kind, chords, systems, paper }: SheetDone): string[] {
  const next =
    kind === 'html'
      ? `open it in a browser and print it on ${formatPaper(paper)}`
      : 'put it on a slide, or open it in a browser';
  return [`${name} → ${path}`, `  ${count(chords, 'chord')} in ${count(systems, 'system')}; ${next}`];
}
