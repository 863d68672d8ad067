import type { Command } from 'commander';
import { STRATEGIES } from '../core/tuner/index.js';
import { readInput } from '../io/files/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { type Choices, ENDS, forOutlet, HELD, OUTLETS, overlay, PLANS } from './choices.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import { RANGES } from './ranges.js';
import { type Reader, readA4, readHome, readLimit, readNumber, readTonic, readWord } from './read-values.js';
import { type Chosen, type ParsedSettings, parseSettings, toChoices } from './settings-file.js';

interface ChoiceOption {
  readonly flags: string;
  /** What it is called in the choices. */
  readonly field: keyof Choices;
  readonly read: Reader<unknown>;
  readonly help: string;
}

const TUNING: readonly ChoiceOption[] = [
  {
    flags: '--strategy <how>',
    field: 'strategy',
    read: readWord(STRATEGIES),
    help: 'who pays for pure chords: free (the pitch may drift), pull (it is drawn back slowly), anchored (no farther from home than the leeway) or temper (the harmony shares what is amiss); default: anchored',
  },
  {
    flags: '--leeway <cents>',
    field: 'leewayCents',
    read: readNumber(RANGES.leeway),
    help: 'how far the sounding notes may stand from home, in cents, 0 to 600; default: anchored 8, pull 2',
  },
  {
    flags: '--rate <cents>',
    field: 'rateCentsPerSecond',
    read: readNumber(RANGES.rate),
    help: 'how fast pull draws back, in cents a second, 0.1 to 100; default: 3',
  },
  {
    flags: '--recall <cents>',
    field: 'recallCents',
    read: readNumber(RANGES.recall),
    help: 'how many cents a note may be off a pure chord to come back where it was, 0 to 50; 0: pure chords come first; default: 0',
  },
  {
    flags: '--held <what>',
    field: 'held',
    read: readWord(HELD),
    help: 'what held notes do when the others move: follow (glide along) or stay; default: follow',
  },
  {
    flags: '--limit <prime>',
    field: 'limit',
    read: readLimit,
    help: 'the purest intervals used: 3 (fifths), 5 (thirds too), 7, 11 or 13 (higher harmonics too); default: 5',
  },
  {
    flags: '--home <scale>',
    field: 'home',
    read: readHome,
    help: 'the scale drift is measured from: equal, just, meantone, pythagorean, or twelve ratios or cents in quotes; default: equal',
  },
  {
    flags: '--tonic <note>',
    field: 'tonic',
    read: readTonic,
    help: 'the note home is built on, such as C, F# or Bb; default: C',
  },
  {
    flags: '--a4 <hertz>',
    field: 'a4Hz',
    read: readA4,
    help: 'the pitch of the A above middle C in hertz, 220 to 880; default: 440',
  },
];

const PLAN: readonly ChoiceOption[] = [
  {
    flags: '--plan <how>',
    field: 'plan',
    read: readWord(PLANS),
    help: 'whole (with the whole piece known: no note moves after its attack but with held notes that glide, and fewer come back elsewhere) or live (as it would be tuned while it is played); default: whole',
  },
  {
    flags: '--end <where>',
    field: 'end',
    read: readWord(ENDS),
    help: 'where a planned piece ends: open (wherever pure chords lead) or home (no drift left: it is given back a comma at a time, where that is least heard); default: open',
  },
  {
    flags: '--smooth <seconds>',
    field: 'smoothSeconds',
    read: readNumber(RANGES.smooth),
    help: 'in a piece planned under anchored, how many seconds a note may stand a cent away from home, within the leeway, before that is as bad as moving it, 0 to 1000; default: 200',
  },
];

const OUTLET: readonly ChoiceOption[] = [
  {
    flags: '--outlet <kind>',
    field: 'outlet',
    read: readWord(OUTLETS),
    help: 'how the pitch travels: mpe (a zone for each track), multichannel (for any General MIDI synth) or mts (MIDI tuning messages); default: mpe',
  },
  {
    flags: '--bend-range <semitones>',
    field: 'bendRange',
    read: readNumber(RANGES['bend-range']),
    help: 'the pitch-bend range of your synth in semitones, 1 to 96; default: mpe 48, multichannel 2',
  },
];

/** Adds the options that say how to tune. */
export function addTuningOptions(command: Command): Command {
  for (const { flags, help } of TUNING) command.option(flags, help);
  return command;
}

/** Adds the options of tuning a file: with the whole piece known, or as it would be played. */
export function addPlanOptions(command: Command): Command {
  for (const { flags, help } of PLAN) command.option(flags, help);
  return command;
}

/** Adds the file that options can be kept in. */
export function addSettingsOption(command: Command): Command {
  return command.option('--settings <file>', 'a TOML file with settings; an option given here wins over it');
}

/** Adds the options that say how retuned notes travel. */
export function addOutletOptions(command: Command): Command {
  for (const { flags, help } of OUTLET) command.option(flags, help);
  return command;
}

/** A user's choices, and those of them that stood on the command line. */
export type Gathered =
  | {
      readonly ok: true;
      readonly given: Choices;
      readonly all: Choices;
      /** How many outlets the settings file has; only the first is among the choices. */
      readonly outletCount: number;
    }
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/**
 * The choices for one run: options, over the settings file. Every mistake in both is told.
 * Throws a LeewayError if the file can't be read.
 */
export async function gatherChoices(options: RawOptions): Promise<Gathered> {
  const { settings } = options;
  const file = await readSettings(typeof settings === 'string' ? settings : undefined);
  const line = readOptions(options);
  if (file.ok && line.ok) {
    const all = overlay(line.choices, forOutlet(toChoices(file.settings), line.choices.outlet));
    const mistakes = all.plan === 'live' ? findPlanless(line.choices) : [];
    if (mistakes.length > 0) return { ok: false, mistakes };
    return { ok: true, given: line.choices, all, outletCount: file.settings.outlet?.length ?? 0 };
  }
  return { ok: false, mistakes: [...toErrors(file), ...(line.ok ? [] : line.mistakes)] };
}

/** Options of a plan, where there is none: what only the end of the piece could tell. */
function findPlanless({ plan, end, smoothSeconds }: Choices): LeewayError[] {
  const given = { '--end': end, '--smooth': smoothSeconds };
  const live = plan === 'live' ? '--plan is live' : 'the settings have plan = "live"';
  return Object.entries(given).flatMap(([option, value]) =>
    value === undefined
      ? []
      : new LeewayError({
          code: 'SETTINGS_CONFLICT',
          message: `${option} is for a planned piece, and ${live}.`,
          advice: `Leave ${option} out, or give --plan whole.`,
        }),
  );
}

/** A settings file, or one that says nothing if there is none. Throws a LeewayError if it can't be read. */
export async function readSettings(path: string | undefined): Promise<ParsedSettings> {
  return path === undefined ? { ok: true, settings: {} } : parseSettings(await readInput(path), path);
}

/** The mistakes of a settings file, without their places. */
export function toErrors(file: ParsedSettings): LeewayError[] {
  return file.ok ? [] : file.mistakes.map(({ error }) => error);
}

/** The choices among the options. */
export function readOptions(options: RawOptions): Chosen {
  const reader = new OptionReader(options);
  const choices: Partial<Record<keyof Choices, unknown>> = {};
  for (const { flags, field, read } of [...TUNING, ...PLAN, ...OUTLET]) {
    const value = reader.take(flags.split(' ')[0], read, undefined);
    if (value !== undefined) choices[field] = value;
  }
  const { mistakes } = reader;
  // Each field was filled by the reader that stands beside it in the table.
  return mistakes.length === 0 ? { ok: true, choices: choices as Choices } : { ok: false, mistakes };
}
