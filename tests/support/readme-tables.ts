import { formatDefault, formatOnly, formatValues } from '../../src/cli/settings/describe.js';
import { ERROR_CODES } from '../../src/core/error-codes.js';
import { SECTIONS, type SectionName, type Setting } from '../../src/core/settings/index.js';

type Row = readonly [section: SectionName, key: string, setting: Setting];

/** Every section and key of a settings file, as Markdown. */
export function formatSettingsTable(): string {
  const tables = (Object.keys(SECTIONS) as SectionName[]).map((section) => {
    const { header, about, settings } = SECTIONS[section];
    const rows = listRows(section);
    const isOnlyInFiles = Object.values(settings).every((setting) => toOthers(['live', '', setting]) === '');
    const head = ['key', 'what it does', 'values', 'default', ...(isOnlyInFiles ? [] : ['also'])];
    const cells = rows.map((row) => [
      `\`${row[1]}\``,
      toMeaning(row),
      codeWords(formatValues(row[2], 'file')),
      codeWords(formatDefault(...row, 'file') ?? ''),
      ...(isOnlyInFiles ? [] : [toOthers(row)]),
    ]);
    return [`${codeHeaders(header)}: ${about}.`, '', ...formatTable(head, cells)].join('\n');
  });
  return tables.join('\n\n');
}

/** Every setting that is an option too, as Markdown. */
export function formatOptionsTable(): string {
  const rows = (Object.keys(SECTIONS) as SectionName[]).flatMap(listRows);
  const cells = rows.flatMap((row) => {
    const [section, key, setting] = row;
    if (setting.option === undefined) return [];
    const { option } = setting;
    const values = setting.kind === 'text' ? '' : `: ${formatValues(setting, 'option')}`;
    const only = setting.only === undefined ? '' : `; ${formatOnly(section, setting.only, 'option')}`;
    return [
      [
        `\`--${option.name ?? key}\``,
        setting.does + values + only,
        formatDefault(...row, 'option') ?? '',
        option.of.join(', '),
      ],
    ];
  });
  return formatTable(['option', 'what it does', 'default', 'commands'], cells).join('\n');
}

function listRows(section: SectionName): Row[] {
  return Object.entries(SECTIONS[section].settings).map(([key, setting]) => [section, key, setting]);
}

function toMeaning([section, , { does, only }]: Row): string {
  return only === undefined ? does : `${does}; ${codeValues(formatOnly(section, only, 'file'))}`;
}

/** Where else it is set: as an option, on the page, by what feet and keys ask for. */
function toOthers([, key, { option, page, actions = [] }]: Row): string {
  if (option === undefined && page === undefined && actions.length === 0) return '';
  const flag = option === undefined ? [] : [`\`--${option.name ?? key}\``];
  return [...flag, ...(page === undefined ? [] : ['page']), ...actions.map((one) => `\`${one}\``)].join(', ');
}

/** Every error code with its meaning, as Markdown. */
export function formatErrorCodes(): string {
  const rows = Object.entries(ERROR_CODES).map(([code, meaning]) => [`\`${code}\``, meaning]);
  return formatTable(['code', 'meaning'], rows).join('\n');
}

function formatTable(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  return [head, head.map(() => '---'), ...rows].map((cells) => toRow(cells.map(toCell)));
}

function toRow(cells: readonly string[]): string {
  return cells[0] === '---' ? `|${cells.join('|')}|` : `| ${cells.join(' | ')} |`;
}

/** A bar would end the cell. */
function toCell(text: string): string {
  return text.replaceAll('|', '\\|');
}

/** What a file has in quotes, as code. */
function codeWords(text: string): string {
  return text.replaceAll(/"[^"]*"/g, (word) => `\`${word}\``);
}

/** What a file has as key and value, as code. */
function codeValues(text: string): string {
  return text
    .replace(/\w+ = "\w+"/, (pair) => `\`${pair}\``)
    .replace(/(?<=or )"\w+"/, (word) => `\`${word}\``);
}

/** Headers of a file, as code. */
function codeHeaders(text: string): string {
  return text.replaceAll(/\[+\w+\]+/g, (header) => `\`${header}\``);
}
