import { formatDefault, formatOnly, formatValues } from '../../src/cli/settings/describe.js';
import { SECTIONS, type SectionName, type Setting } from '../../src/core/settings/index.js';

type Row = readonly [section: SectionName, key: string, setting: Setting];

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

function formatTable(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  return [head, head.map(() => '---'), ...rows].map((cells) => toRow(cells.map(toCell)));
}

function toRow(cells: readonly string[]): string {
  return cells[0] === '---' ? `|${cells.join('|')}|` : `| ${cells.join(' | ')} |`;
}

/** A bar would end the cell. */
const toCell = (text: string): string => text.replaceAll('|', '\\|');
