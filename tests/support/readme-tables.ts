import { readFileSync, writeFileSync } from 'node:fs';
import { SETTING_WORDS, type SettingWords } from '../../src/cli/words/settings-table.js';
import { ERROR_CODES } from '../../src/core/error-codes.js';

const README = new URL('../../README.md', import.meta.url);

/** Every table and key of a settings file, as Markdown. */
export function formatSettingsTable(): string {
  const tables = Object.values(SETTING_WORDS).map(({ about, keys }) => {
    const [header, meaning] = splitAbout(about);
    const rows = Object.entries<SettingWords>(keys).map(([key, { values, stock, does }]) =>
      [`\`${key}\``, does, codeWords(values), codeWords(stock)].map(toCell),
    );
    return [`${header}: ${meaning}.`, '', ...formatTable(['key', 'what it does', 'values', 'stock'], rows)];
  });
  return tables.map((lines) => lines.join('\n')).join('\n\n');
}

/** Every error code with its meaning, as Markdown. */
export function formatErrorCodes(): string {
  const rows = Object.entries(ERROR_CODES).map(([code, meaning]) => [`\`${code}\``, toCell(meaning)]);
  return formatTable(['code', 'meaning'], rows).join('\n');
}

/** What stands in the README between the comments `NAME: made by the tests` and `end of NAME`. */
export function readFromReadme(name: string): string | undefined {
  return cutReadme(name)?.inside;
}

/** Puts a text between those comments. */
export function writeToReadme(name: string, text: string): void {
  const cut = cutReadme(name);
  if (cut !== undefined) writeFileSync(README, cut.before + text + cut.after);
}

function cutReadme(name: string): { before: string; inside: string; after: string } | undefined {
  const readme = readFileSync(README, 'utf8');
  const [head, tail] = [`<!-- ${name}: made by the tests -->\n\n`, `\n\n<!-- end of ${name} -->`];
  const [from, to] = [readme.indexOf(head) + head.length, readme.indexOf(tail)];
  if (from < head.length || to < from) return undefined;
  return { before: readme.slice(0, from), inside: readme.slice(from, to), after: readme.slice(to) };
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
