import { DEFAULT_LAMP } from '../../app/live/lamps.js';
import { DEFAULT_LIVE_SETTINGS, DEFAULT_SWITCH, LIVE_BEND_RANGE } from '../../app/live/live-settings.js';
import { DEFAULT_SPLIT } from '../../app/live/split-settings.js';
import { DEFAULT_BEND_RANGE } from '../../app/outlet-choice.js';
import { toSettingsReport } from '../../app/settings-report.js';
import { DEFAULT_PLAN, TUNED } from '../../core/score/index.js';
import {
  type Beside,
  type Kind,
  SECTIONS,
  type SectionName,
  type Setting,
  toWords,
  type Words,
} from '../../core/settings/index.js';
import { DEFAULT_SETTINGS, STRATEGIES, toSettings } from '../../core/tuner/index.js';
import { wrap } from '../format/wrap.js';
import { DEFAULT_PLAN_KIND, toFlag } from './choices.js';
import type { CommandOption } from './command-options.js';
import { formatList } from './format.js';

/** In a file words and names are in quotes, on the command line they aren't. */
type Style = 'file' | 'option';

/** The defaults of each section, by the names of its settings in code. */
const DEFAULTS: Readonly<Record<SectionName, object>> = {
  tuning: { ...toSettingsReport(DEFAULT_SETTINGS), ...DEFAULT_PLAN, plan: DEFAULT_PLAN_KIND },
  track: TUNED,
  input: DEFAULT_LIVE_SETTINGS.inputs[0],
  split: DEFAULT_SPLIT,
  outlet: DEFAULT_LIVE_SETTINGS.outlets[0],
  action: { switch: DEFAULT_SWITCH },
  knob: {},
  lamp: DEFAULT_LAMP,
  live: DEFAULT_LIVE_SETTINGS,
};

/** Defaults that depend on another setting, by that one's key. */
const DEFAULTS_BESIDE: Readonly<Record<string, Readonly<Record<string, number | string>>>> = {
  strategy: Object.fromEntries(
    STRATEGIES.map((strategy) => [strategy, toSettings({ strategy }).leewayCents]),
  ),
  kind: Object.fromEntries(
    Object.entries(LIVE_BEND_RANGE).map(([kind, live]) => {
      const file = DEFAULT_BEND_RANGE[kind as keyof typeof DEFAULT_BEND_RANGE];
      return [kind, file === live ? file : `${file} (${live} live)`];
    }),
  ),
};

const INDENT = 17;

/** Every section and setting of a settings file: its effect, its values and its default. */
export function formatSettingsHelp(): string[] {
  return Object.entries(SECTIONS).flatMap(([section, { header, about, settings }]) => [
    `${header}: ${about}`,
    ...Object.entries(settings).flatMap(([key, setting]) =>
      wrap(`  ${key}`.padEnd(INDENT), describeSetting(section as SectionName, key, setting, 'file')),
    ),
  ]);
}

/**
 * @example
 * describeSetting('tuning', 'rate', SETTINGS.tuning.rate, 'option')
 * // 'how fast pull draws back: 0.1 to 100 cents a second; default: 3'
 */
export function describeSetting(section: SectionName, key: string, setting: Setting, style: Style): string {
  const { does, only } = setting;
  const values = setting.kind === 'text' ? '' : `: ${formatValues(setting, style)}`;
  const value = formatDefault(section, key, setting, style);
  return [
    does + values,
    ...(value === undefined ? [] : [`default: ${value}`]),
    ...(only === undefined ? [] : [formatOnly(section, only, style)]),
  ].join('; ');
}

/** @example describeOption(OPTIONS.passes)  // 'how often it goes round: 1 to 1000 passes; default: 4' */
export function describeOption(option: CommandOption): string {
  const { does, unset = option.default } = option;
  // The number of a piece or a bar has no practical bound.
  const isOpen = option.kind === 'number' ? option.isLabel === true : option.kind === 'text';
  const values = isOpen ? '' : `: ${formatValues(option, 'option')}`;
  return `${does}${values}${unset === undefined || option.kind === 'text' ? '' : `; default: ${unset}`}`;
}

/** The allowed values of a setting. @example formatValues(SETTINGS.tuning.leeway, 'file')  // '0 to 600 cents' */
export function formatValues(kind: Kind, style: Style): string {
  const quote = (word: string) => (style === 'file' ? `"${word}"` : word);
  switch (kind.kind) {
    case 'number':
    case 'pitch': {
      const least = kind.leastMeans === undefined ? kind.least : `${kind.least} (${kind.leastMeans})`;
      return `${least} to ${kind.most}${kind.isLabel ? '' : ` ${kind.unit}`}`;
    }
    case 'key':
      return `${kind.least} to ${kind.most}, or a name such as ${quote('A0')}, middle C being ${quote('C4')}`;
    case 'word':
      return formatWords(kind.words, quote);
    case 'prime':
      return formatWords(kind.words, (word) => word);
    case 'scale': {
      const names = Object.keys(kind.names);
      if (style === 'option') return `${names.join(', ')}, or twelve ratios or cents in quotes`;
      return `${formatList(names.map(quote))}, or a list of twelve ratios or cents`;
    }
    case 'tonic':
      return `a note name such as ${formatList(['C', 'F#', 'Bb'].map(quote))}`;
    case 'switch':
      return 'true or false';
    case 'text':
      return kind.short;
    case 'label':
      return 'a word, a name or a number';
    case 'names':
      return 'a list of names';
    case 'channels':
      return `a list of ${kind.least} to ${kind.most}${kind.mayBeEmpty ? ', [] for none' : ''}`;
  }
}

/**
 * The default of a setting as it would be written; undefined if nothing is done.
 * @example 8 with anchored, 2 with pull
 */
export function formatDefault(
  section: SectionName,
  key: string,
  setting: Setting,
  style: Style,
): string | undefined {
  if (typeof setting.default === 'string') return setting.default;
  if (setting.default !== undefined) {
    const { key: other, is } = setting.default;
    return is.map((word) => `${DEFAULTS_BESIDE[other][word]} with ${word}`).join(', ');
  }
  const value = new Map<string, unknown>(Object.entries(DEFAULTS[section])).get(setting.field ?? key);
  if (value === undefined) return undefined;
  return typeof value === 'string' && style === 'file' ? `"${value}"` : String(value);
}

/**
 * @example formatOnly('outlet', { key: 'kind', is: ['mpe'] }, 'file')   // 'only with kind = "mpe"'
 * @example formatOnly('action', { key: 'controller', is: [] }, 'file')  // 'only with controller'
 */
export function formatOnly(section: SectionName, { key, is }: Beside, style: Style): string {
  if (is.length === 0) return `only with ${style === 'file' ? key : toFlag(section, key)}`;
  if (style === 'file') return `only with ${key} = ${formatList(is.map((word) => `"${word}"`))}`;
  return `only with ${toFlag(section, key)} ${formatList(is)}`;
}

function formatWords(words: Words, quote: (word: string) => string): string {
  const choices = toWords({ words });
  return formatList(choices.map((word) => quote(word) + (words[word] === '' ? '' : ` (${words[word]})`)));
}
