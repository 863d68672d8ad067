import { NO_STOCK, SETTING_WORDS, type SettingWords } from './settings-table.js';
import { wrap } from './wrap.js';

const INDENT = 17;

/** Every table and key of a settings file, a key with what it does, its values and its stock value. */
export function formatSettingsHelp(): string[] {
  return Object.values(SETTING_WORDS).flatMap(({ about, keys }) => [
    about,
    ...Object.entries<SettingWords>(keys).flatMap(([key, { does, values, stock }]) =>
      wrap(`  ${key}`.padEnd(INDENT), `${does} (${values}${stock === NO_STOCK ? '' : `; default ${stock}`})`),
    ),
  ]);
}
