import { expect, test } from 'vitest';
import { parseSettings } from '../../src/cli/settings-file.js';

function parse(text: string) {
  return parseSettings(new TextEncoder().encode(text), 's.toml');
}

function toMistakes(text: string): string[] {
  const chosen = parse(text);
  return chosen.ok
    ? []
    : chosen.mistakes.map(({ message, advice, code }) => `${message} ${advice} [${code}]`);
}

test('every setting is read', () => {
  const chosen = parse(`
    [tuning]
    limit = 7
    home = "meantone"
    tonic = "Bb"
    a4 = 415.3
    strategy = "pull"
    leeway = 4.5
    rate = 2
    held = "stay"
    glide = 80
    strike-window = 25
    [outlet]
    kind = "multichannel"
    bend-range = 12
  `);
  expect(chosen).toEqual({
    ok: true,
    choices: {
      limit: 7,
      home: { kind: 'meantone' },
      tonic: { keyClass: 10, fifths: -2 },
      a4Hz: 415.3,
      strategy: 'pull',
      leewayCents: 4.5,
      rateCentsPerSecond: 2,
      held: 'stay',
      glideMs: 80,
      strikeWindowMs: 25,
      outlet: 'multichannel',
      bendRange: 12,
    },
  });
});

test('home may be a list of twelve: bare numbers are cents, texts are ratios', () => {
  const chosen = parse(
    '[tuning]\nhome = [0, 100, "9/8", 300, "5/4", 500, 600, "3/2", 800, 900, 1000, 1100]\n',
  );
  const home = chosen.ok ? chosen.choices.home : undefined;
  const cents = home?.kind === 'list' ? home.list.map((step) => Number(step.cents.toFixed(3))) : [];
  expect(cents).toEqual([0, 100, 203.91, 300, 386.314, 500, 600, 701.955, 800, 900, 1000, 1100]);
});

test('all mistakes at once, in the order of the file, each where it stands', () => {
  const text = [
    '[tuning]',
    'limt = 5',
    'strategy = "anchord"',
    'leeway = "8"',
    'home = [0, 100]',
    '[outlt]',
    'kind = 3',
    '[outlet]',
    '  bend-range =   2.5',
    'leeway = 3',
  ].join('\n');
  expect(toMistakes(text)).toEqual([
    's.toml:2:1: there is no setting "limt" in [tuning]. Did you mean limit? [SETTINGS_KEY]',
    's.toml:3:12: strategy: expected free, pull or anchored, found "anchord". Did you mean anchored? [VALUE_UNKNOWN]',
    's.toml:4:10: leeway: expected a number from 0 to 600 (cents), found "8". Write the number alone, without quotes or unit. [VALUE_NOT_NUMBER]',
    's.toml:5:8: home: a home scale has twelve steps to the octave; this list has 2. Give 1/1 and the eleven steps above it. [HOME_LIST_COUNT]',
    's.toml:6:2: there is no table or setting "outlt". Did you mean outlet? [SETTINGS_KEY]',
    's.toml:9:18: bend-range: expected a whole number from 1 to 96 (semitones), found 2.5. Choose one within these bounds. [VALUE_RANGE]',
    's.toml:10:1: there is no setting "leeway" in [outlet]. It belongs under [tuning]. [SETTINGS_KEY]',
  ]);
});

test.each([
  ['[tuning]\nlimit = = 5\n', /^s\.toml:2:9: This is not TOML: .* \[SETTINGS_TOML\]$/],
  ['tuning = 3\n', /^s\.toml:1:10: tuning is a table\. .* \[SETTINGS_TABLE\]$/],
  ['outlet = [1]\n', /^s\.toml:1:10: outlet is a table\. .* \[SETTINGS_TABLE\]$/],
  ['outlet = []\n', /^s\.toml:1:10: outlet is a table\. .* \[SETTINGS_TABLE\]$/],
  ['[[outlet]]\nkind = "mpe"\n', /^s\.toml:1:3: outlet is a table\. .* \[SETTINGS_TABLE\]$/],
  ['[tuning]\nleeway = nan\n', /^s\.toml:2:10: leeway: expected a number .* \[VALUE_NOT_NUMBER\]$/],
  ['[tuning]\nleeway = inf\n', /^s\.toml:2:10: leeway: expected a number .* \[VALUE_RANGE\]$/],
  ['tuning = { leeway = 3, tonic = "H" }\n', /^s\.toml:1:32: tonic: .* \[TONIC_NAME\]$/],
  ['tuning.a4 = "low"\n', /^s\.toml:1:13: a4: .* \[A4_TEXT\]$/],
  [
    'limit = 5\n',
    /^s\.toml:1:1: there is no table or setting "limit"\. It belongs under \[tuning\]\. \[SETTINGS_KEY\]$/,
  ],
])('%j', (text, mistake) => {
  const mistakes = toMistakes(text);
  expect(mistakes).toHaveLength(1);
  expect(mistakes[0]).toMatch(mistake);
});
