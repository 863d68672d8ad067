import { expect, test } from 'vitest';
import { NO_CHOICES, toChoices } from '../../../src/cli/settings/choices.js';
import { parseSettings } from '../../../src/cli/settings/settings-file.js';

const parse = (text: string) => parseSettings(new TextEncoder().encode(text), 's.toml');

function toMistakes(text: string): string[] {
  const parsed = parse(text);
  if (parsed.ok) return [];
  return parsed.mistakes.map(({ error: { message, advice, code } }) => `${message} ${advice} [${code}]`);
}

test('every setting of the tuning and of one outlet is read', () => {
  const parsed = parse(`
    [tuning]
    limit = 7
    home = "meantone"
    tonic = "Bb"
    a4 = 415.3
    strategy = "pull"
    leeway = 4.5
    rate = 2
    recall = 21.5
    held = "stay"
    glide = 80
    strike-window = 25
    [outlet]
    kind = "multichannel"
    bend-range = 12
  `);
  expect(parsed.ok && toChoices(parsed.settings)).toEqual({
    tuning: {
      limit: 7,
      home: { kind: 'meantone' },
      tonic: { keyClass: 10, fifths: -2 },
      a4: 415.3,
      strategy: 'pull',
      leeway: 4.5,
      rate: 2,
      recall: 21.5,
      held: 'stay',
      glide: 80,
      'strike-window': 25,
    },
    outlet: { kind: 'multichannel', 'bend-range': 12 },
  });
});

test('home in a settings file may be a list of twelve, in which numbers are cents and texts are ratios', () => {
  const parsed = parse(
    '[tuning]\nhome = [0, 100, "9/8", 300, "5/4", 500, 600, "3/2", 800, 900, 1000, 1100]\n',
  );
  const home = parsed.ok ? parsed.settings.tuning?.home : undefined;
  const cents = home?.kind === 'list' ? home.list.map((step) => Number(step.cents.toFixed(3))) : [];
  expect(cents).toEqual([0, 100, 203.91, 300, 386.314, 500, 600, 701.955, 800, 900, 1000, 1100]);
});

test('all mistakes of a settings file are reported at once, in its order, each with its place', () => {
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
    's.toml:3:12: strategy: expected free, pull, anchored or temper, found "anchord". Did you mean anchored? [VALUE_UNKNOWN]',
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
  ['outlet = [1]\n', /^s\.toml:1:11: outlet is a table\. .* \[SETTINGS_TABLE\]$/],
  ['outlet = []\n', /^s\.toml:1:10: outlet is a table\. .* \[SETTINGS_TABLE\]$/],
  ['outlet = [{}, 1]\n', /^s\.toml:1:15: outlet is a table\. Write \[outlet\] .* \[SETTINGS_TABLE\]$/],
  ['input = 2020-01-01\n', /^s\.toml:1:9: input is a table\. Write \[\[input\]\] .* \[SETTINGS_TABLE\]$/],
  ['[[tuning]]\nlimit = 5\n', /^s\.toml:1:3: tuning is a table\. .* \[SETTINGS_TABLE\]$/],
  ['[[live]]\n', /^s\.toml:1:3: live is a table\. .* \[SETTINGS_TABLE\]$/],
  ['[tuning]\nleeway = nan\n', /^s\.toml:2:10: leeway: expected a number .* \[VALUE_NOT_NUMBER\]$/],
  ['[tuning]\nleeway = inf\n', /^s\.toml:2:10: leeway: expected a number .* \[VALUE_RANGE\]$/],
  ['tuning = { leeway = 3, tonic = "H" }\n', /^s\.toml:1:32: tonic: .* \[TONIC_NAME\]$/],
  ['tuning.a4 = "low"\n', /^s\.toml:1:13: a4: .* \[A4_TEXT\]$/],
  [
    'limit = 5\n',
    /^s\.toml:1:1: there is no table or setting "limit"\. It belongs under \[tuning\] or \[\[action\]\]\. \[SETTINGS_KEY\]$/,
  ],
])('the settings file %j has one mistake, with its place', (text, mistake) => {
  const mistakes = toMistakes(text);
  expect(mistakes).toHaveLength(1);
  expect(mistakes[0]).toMatch(mistake);
});

test('every table of a live session is read, channels and programs counted from 0', () => {
  const parsed = parse(`
    [[input]]
    port = "Upper"
    channels = [1, 16]
    bend-range = 7
    [[input]]
    port = "Here"
    virtual = true
    [[outlet]]
    port = "Synth"
    kind = "mpe"
    bend-range = 24
    zone = "upper"
    members = 7
    release-hold = 250.5
    wire = "din"
    from = ["Upper", "Here"]
    [[outlet]]
    kind = "multichannel"
    channels = [1, 2]
    [[action]]
    program = 128
    channel = 16
    input = "Upper"
    do = "strategy"
    strategy = "pull"
    [[action]]
    note = "B♭0"
    do = "panic"
    [live]
    fuse = 900
    pass-system = false
    take = "takes"
  `);
  expect(parsed).toEqual({
    ok: true,
    settings: {
      input: [
        { port: 'Upper', channels: [0, 15], 'bend-range': 7 },
        { port: 'Here', virtual: true },
      ],
      outlet: [
        {
          port: 'Synth',
          kind: 'mpe',
          'bend-range': 24,
          zone: 'upper',
          members: 7,
          'release-hold': 250.5,
          wire: 'din',
          from: ['Upper', 'Here'],
        },
        { kind: 'multichannel', channels: [0, 1] },
      ],
      action: [
        { program: 127, channel: 15, input: 'Upper', do: 'strategy', strategy: 'pull' },
        { note: 22, do: 'panic' },
      ],
      live: { fuse: 900, 'pass-system': false, take: 'takes' },
    },
  });
});

test("a settings file's table in single brackets is a list of one", () => {
  const parsed = parse('[input]\nport = "A"\n[action]\nnote = 0\ndo = "panic"\n');
  expect(parsed).toEqual({
    ok: true,
    settings: { input: [{ port: 'A' }], action: [{ note: 0, do: 'panic' }] },
  });
});

test('retune and explain take the tuning and the first outlet of a settings file', () => {
  const parsed = parse('[[outlet]]\nkind = "mts"\n[[outlet]]\nport = "B"\n[live]\nfuse = 200\n');
  expect(parsed.ok && toChoices(parsed.settings)).toEqual({ ...NO_CHOICES, outlet: { kind: 'mts' } });
});

test('mistakes in several tables, and settings that clash, are reported each with its place', () => {
  const text = [
    '[[input]]',
    'port = "A"',
    'channel = [1]',
    '[[input]]',
    'channels = [1, 17]',
    'port = "A"',
    '[[outlet]]',
    'kind = "mts"',
    'members = 0',
    'from = ["Upper", "A"]',
    '[[action]]',
    'do = "hom-now"',
    '[live]',
    'tonic = "C"',
  ].join('\n');
  expect(toMistakes(text)).toEqual([
    's.toml:3:1: there is no setting "channel" in [[input]]. Did you mean channels? [SETTINGS_KEY]',
    's.toml:5:12: channels: expected a whole number from 1 to 16 (channels), found 17. Choose one within these bounds. [VALUE_RANGE]',
    's.toml:6:8: another input has the port "A" already (line 2). Give each a port of its own, by its name. [SETTINGS_CONFLICT]',
    's.toml:9:1: members is for kind mpe, and this outlet is mts. Leave it out, or choose another kind. [SETTINGS_CONFLICT]',
    's.toml:9:11: members: expected a whole number from 1 to 15 (member channels), found 0. Choose one within these bounds. [VALUE_RANGE]',
    's.toml:10:9: no input is called "Upper". The inputs here: "A". [SETTINGS_NO_INPUT]',
    's.toml:11:3: nothing asks for this action. Add controller, note or program with its number. [SETTINGS_MISSING]',
    's.toml:12:6: do: expected home-now, home-next, panic, next-strategy, strategy, tonic, tonic-from-bass, limit, limit-up, limit-down, hold-drift, hold-drift-on, hold-drift-off, bypass, bypass-on, bypass-off, preset or cue, found "hom-now". Did you mean home-now? [VALUE_UNKNOWN]',
    's.toml:14:1: there is no setting "tonic" in [live]. It belongs under [tuning] or [[track]] or [[input]] or [[split]] or [[action]]. [SETTINGS_KEY]',
  ]);
});

test.each([
  // in single brackets there is no index in the path
  ['[outlet]\nkind = "mts"\nzone = "upper"\n', 's.toml:3:1: zone is for kind mpe,'],
  ['[outlet]\nzone = "uper"\n', 's.toml:2:8: zone: expected lower or upper,'],
  // one of the two is a default and stands nowhere
  ['[[input]]\nport = "Leeway"\n', 's.toml:2:8: the port "Leeway" would be both ours and another\'s'],
])('the settings file %j has one mistake, with its place', (text, start) => {
  const mistakes = toMistakes(text);
  expect(mistakes).toHaveLength(1);
  expect(mistakes[0]).toContain(start);
  expect(mistakes[0]).not.toContain('(line');
});

test('mistakes of a settings file have their place as numbers too', () => {
  const parsed = parse('[tuning]\n  limit = 4\n');
  expect(parsed.ok ? [] : parsed.mistakes.map(({ place }) => place)).toEqual([{ line: 2, column: 11 }]);
});

test('the scale, tonic and A of an input are for one that cannot be tuned', () => {
  const text =
    '[[input]]\nport = "Organ"\nscale = "just"\n[[input]]\nport = "Harp"\nrole = "fixed"\nscale = "meantone"\n';
  const parsed = parseSettings(new TextEncoder().encode(text), 's.toml');
  expect(parsed.ok ? [] : parsed.mistakes.map(({ error }) => error.message)).toEqual([
    's.toml:3:1: scale is for role fixed, and this input is tuned.',
  ]);
});
