import { SETTING_WORDS, type SettingWords } from '../../src/cli/words/settings-table.js';
import { ERROR_CODES } from '../../src/core/error-codes.js';

/** Every table and key of a settings file, as Markdown. */
export function formatSettingsTable(): string {
  const tables = Object.values(SETTING_WORDS).map(({ about, keys }) => {
    const [header, meaning] = splitAbout(about);
    const rows = Object.entries<SettingWords>(keys).map(([key, { values, stock, does }]) =>
      [`\`${key}\``, does, codeWords(values), codeWords(stock)].map(toCell),
    );
    return [`${header}: ${meaning}.`, '', ...formatTable(['key', 'what it does', 'values', 'default'], rows)];
  });
  return tables.map((lines) => lines.join('\n')).join('\n\n');
}

/** Every error code with its meaning, as Markdown. */
export function formatErrorCodes(): string {
  const rows = Object.entries(ERROR_CODES).map(([code, meaning]) => [`\`${code}\``, toCell(meaning)]);
  return formatTable(['code', 'meaning'], rows).join('\n');
}

function formatTable(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  return [head, head.map(() => '---'), ...rows].map((cells) => toRow(cells));
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

/** `[live]: the whole` as its header in code, and its meaning. */
function splitAbout(about: string): [header: string, meaning: string] {
  const at = about.indexOf(': ');
  return [about.slice(0, at).replaceAll(/\[+\w+\]+/g, (header) => `\`${header}\``), about.slice(at + 2)];
}
