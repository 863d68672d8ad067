import { readdirSync, readFileSync } from 'node:fs';
import { toChoices } from '../../src/cli/settings/index.js';
import { parseSettings } from '../../src/cli/settings/settings-file.js';
import { SETTINGS } from '../../src/core/settings/index.js';
import { LeewayError } from '../../src/io/leeway-error.js';
import { mutateText, toBytes, toText } from './mutate-text.js';
import { must, type Target } from './target.js';

const CONFIGS = new URL('../../configs/', import.meta.url);
const FILES = readdirSync(CONFIGS)
  .filter((name) => name.endsWith('.toml'))
  .sort()
  .map((name) => new Uint8Array(readFileSync(new URL(name, CONFIGS))));

/** All keys there are, and what TOML is made of. */
const WORDS = [
  ...[...Object.keys(SETTINGS), ...Object.values(SETTINGS).flatMap((table) => Object.keys(table))],
  ...'[ ] [[ ]] { } "'.split(' '),
  ...["'", '"""', "'''"],
  ...'= . , #'.split(' '),
  ...['\n', '\r\n', '\t', '\\', '\0'],
  ...'true false nan -inf 1979-05-27T07:32:00Z 07:32:00 0x1F 1_000 1e400 "1/1" "3/2" "a\\tb"'.split(' '),
  ...'"\\u0041" "\\U0001F600" "\\e" "\\x41"'.split(' '),
  ...['"a\tb"', '""', "''"],
  ...'__proto__ constructor toString "mpe" "mts" "multichannel" "anchored" "pull" "free"'.split(' '),
  ...'"temper" "lower" "upper" "din" "home-now" "panic" "strategy" "Leeway" "Keys"'.split(' '),
  ...['[0, 100]', '[[outlet]]\n', '[[input]]\n', '[[action]]\n', '[tuning]\n', '[live]\n'],
];

/**
 * A settings file of any kind. Either it holds settings, or there are mistakes in it, each an error with a code, a next
 * step, and the line and column where it stands, in the order of the file.
 */
export const settings: Target = {
  name: 'settings',
  share: 100,
  first: [...FILES, toBytes('[tuning]\nhome = [0, 100, "9/8"]\n[[action]]\nnote = 60\ndo = "panic"\n')],
  generate: (random, known) => mutateText(random, random.pick(known), random.pick(known), WORDS),
  check(input) {
    const parsed = parseSettings(input, 's.toml');
    if (parsed.ok) {
      toChoices(parsed.settings);
      return `read ${Object.keys(parsed.settings).sort().join(' ')}`;
    }
    const { mistakes } = parsed;
    must(mistakes.length > 0, () => 'no settings and no mistake');
    const lines = toText(input).split('\n');
    let last = { line: 0, column: 0 };
    for (const { place, error } of mistakes) {
      must(error instanceof LeewayError, () => `no LeewayError: ${String(error)}`);
      const { line, column } = place;
      // One past the end of the line is where something is missing; one past the last line, where the file has ended.
      const length = lines[line - 1]?.length ?? 0;
      const isThere = line >= 1 && line <= lines.length + 1 && column >= 1 && column <= length + 2;
      must(isThere, () => `line ${line}, column ${column}: ${error.message}`);
      must(error.message.startsWith(`s.toml:${line}:${column}: `), () => error.message);
      must(error.advice.length > 10 && error.message.length < 1000, () => `${error.message} ${error.advice}`);
      must(
        line > last.line || (line === last.line && column >= last.column),
        () => 'not in the order of the file',
      );
      last = place;
    }
    return [...new Set(mistakes.map(({ error }) => toWords(error)))].sort().slice(0, 3).join(' ');
  },
};

/** The code, and the sentence without what was found. */
function toWords({ code, message }: LeewayError): string {
  if (code === 'SETTINGS_TOML') return message.replaceAll(/[0-9]+/g, 'n').slice(0, 80);
  return `${code} ${/: ([a-z0-9-]+):/.exec(message)?.[1] ?? ''}`;
}
