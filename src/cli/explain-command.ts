import { createColors } from 'picocolors';
import { type BarRange, explain } from '../app/explain.js';
import { toExplanationJson } from '../app/explanation-json.js';
import { nameInput, openMidi } from '../app/midi-source.js';
import { PAPER_SIZES, type SheetPaper, STOCK_PAPER } from '../app/sheet/sheet-style.js';
import { toSheetKind, writeSheet } from '../app/sheet/write-sheet.js';
import { LeewayError } from '../io/leeway-error.js';
import { gatherChoices } from './choice-options.js';
import { toPlanning, toTunerSettings } from './choices.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import { RANGES } from './ranges.js';
import { type Reader, readNumber, readWord } from './read-values.js';
import { complain, hasColour, say } from './say.js';
import { toAccess } from './streams.js';
import { formatWarning } from './words/errors.js';
import { formatHead, formatMoment, formatTail } from './words/piece.js';
import { formatSettings } from './words/settings.js';
import { formatSheet } from './words/sheet.js';
import type { World } from './world.js';

/** `leeway explain INPUT`: tells a file chord by chord. Throws a LeewayError if it can't be read, or its sheet not written. */
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
  if (sheet === undefined && (options.paper !== undefined || options.upright === true))
    say(world.stderr, [
      'leeway: note: --paper and --upright are for a sheet; without --sheet there is none.',
    ]);
  const { file, warnings } = await openMidi(input, toAccess(world));
  const settings = toTunerSettings(gathered.all);
  const planning = toPlanning(gathered.all);
  const pieces = explain(file, settings, planning, bars);
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

/** What a sheet is to be printed on. */
function readPaper(options: RawOptions, mistakes: LeewayError[]): SheetPaper {
  const read: Reader<SheetPaper['size']> = (input) => readWord(PAPER_SIZES)(String(input).toLowerCase());
  const size = new OptionReader(options, mistakes).take('--paper', read, STOCK_PAPER.size);
  return { size, isUpright: options.upright === true };
}

/** The bars asked for; undefined for all of them. */
function readBars(options: RawOptions, mistakes: LeewayError[]): BarRange | undefined {
  if (options.from === undefined && options.to === undefined) return undefined;
  const reader = new OptionReader(options, mistakes);
  const read = readNumber(RANGES.bar);
  const range = { from: reader.take('--from', read, 1), to: reader.take('--to', read, Infinity) };
  if (range.from > range.to) {
    mistakes.push(
      new LeewayError({
        code: 'BARS_BACKWARD',
        message: `--from ${range.from} is after --to ${range.to}.`,
        advice: 'Give the earlier bar to --from; both bars are told of.',
      }),
    );
  }
  return range;
}
