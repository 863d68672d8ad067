import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { formatMidiFile } from '../../src/core/midi/index.js';
import { toArgv } from '../support/argv.js';
import { buildMidiBytes, PUMP } from '../support/build-midi.js';
import { CHOIR } from '../support/choir.js';
import { runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();

const at = (...names: string[]): string => join(folder(), ...names);

function write(name: string, content: Uint8Array | string = buildMidiBytes(PUMP)): string {
  writeFileSync(at(name), content);
  return at(name);
}

function countNoteOns(path: string): number {
  const { tracks } = parseMidi(readFileSync(path));
  return tracks.flat().filter((event) => event.type === 'noteOn' && event.velocity > 0).length;
}

describe('retune with one file:', () => {
  test('the file is written and summed up', async () => {
    const { code, out, err } = await runCli(
      toArgv`retune ${write('a.mid')} -o ${at('b.mid')} --strategy free`,
    );
    expect([code, err]).toEqual([0, '']);
    expect(countNoteOns(at('b.mid'))).toBe(PUMP.length);
    expect(out).toContain('10 notes in 1 part, 10.0 s');
    expect(out.replaceAll(/\s+/g, ' ')).toContain(
      'drift 80/81, −1 syntonic comma, −21.5 c at the end; the last chord is 21.5 c below home',
    );
    expect(out.replaceAll(/\s+/g, ' ')).toContain('jumped 64.5 c in all (3 returns on another ratio)');
  });

  test('a bass is fixed and a voice is a guide, and the summary says so', async () => {
    const choir = write('choir.mid', formatMidiFile(CHOIR));
    const argv = [
      'retune',
      choir,
      '-o',
      at('b.mid'),
      '--role',
      'bass=fixed',
      '--role',
      '2=guide',
      '--role',
      'Tenr=guide',
    ];
    const { code, out, err } = await runCli([...argv, '--report', at('r.json')]);
    expect(code).toBe(0);
    expect(err).toBe(
      `leeway: ${choir}: warning: the role guide is for "Tenr", which isn't there. ` +
        'The tracks: 1 "Upper", 2 "Middle", 3 "Bass". [ROLE_NO_TRACK]\n',
    );
    expect(out).toContain('5 notes in 1 part');
    expect(out.replaceAll(/\s+/g, ' ')).toContain(
      'roles Bass (track 3) is fixed: it passes unchanged (5 notes)',
    );
    expect(out.replaceAll(/\s+/g, ' ')).toContain('roles Middle (track 2) is a guide: it is heard (5 notes)');
    expect(countNoteOns(at('b.mid'))).toBe(10);
    const [piece] = JSON.parse(readFileSync(at('r.json'), 'utf8')).files[0].pieces;
    expect(piece.notes).toBe(5);
    expect(piece.parts).toMatchObject([
      { name: 'Upper', role: 'tuned', notes: 5 },
      { name: 'Middle', role: 'guide', notes: 5 },
      { name: 'Bass', role: 'fixed', notes: 5 },
    ]);
  });

  test('a role that makes no sense starts nothing', async () => {
    const { code, err } = await runCli(['retune', write('a.mid'), '-o', at('b.mid'), '--role', 'bass=fixt']);
    expect(code).toBe(2);
    expect(err).toContain(
      'leeway: --role: expected tuned, fixed, guide or untuned, found "fixt". Did you mean fixed?',
    );
    expect(existsSync(at('b.mid'))).toBe(false);
  });

  test('the file goes into a folder under its name', async () => {
    mkdirSync(at('out'));
    const { code } = await runCli(['retune', write('a.mid'), '-o', at('out')]);
    expect(code).toBe(0);
    expect(readdirSync(at('out'))).toEqual(['a.mid']);
  });

  test('has a report that says the same, with a version', async () => {
    const argv = toArgv`retune ${write('a.mid')} -o ${at('b.mid')} --strategy free --report ${at('r.json')}`;
    expect((await runCli(argv)).code).toBe(0);
    const report = JSON.parse(readFileSync(at('r.json'), 'utf8'));
    expect([report.kind, report.version]).toEqual(['leeway retune report', 2]);
    expect(report.settings.strategy).toBe('free');
    expect(report.files[0].pieces[0]).toMatchObject({
      notes: 10,
      ending: { drift: { ratio: '80/81', cents: -21.506 } },
      totals: { returns: 3 },
    });
  });

  test('a planned piece ends where it began if it should, and the summary says how good the plan is', async () => {
    const argv = ['retune', write('a.mid'), '-o', at('b.mid'), '--report', at('r.json')];
    const { code, out, err } = await runCli([...argv, '--end', 'home', '--strategy', 'free']);
    expect([code, err]).toEqual([0, '']);
    expect(countNoteOns(at('b.mid'))).toBe(PUMP.length);
    const text = out.replaceAll(/\s+/g, ' ');
    expect(text).toContain('drift none at the end');
    expect(text).toContain('planned to end where it began; free: the pitch may drift');
    const report = JSON.parse(readFileSync(at('r.json'), 'utf8'));
    expect(report.plan).toEqual({ end: 'home', smoothSeconds: 200 });
    const { plan, ending } = report.files[0].pieces[0];
    expect(ending.drift.ratio).toBe('1/1');
    expect(Object.keys(plan.wayHome)).toEqual(['returns', 'againstHeld', 'widestCents']);
    expect(plan.wayHome.widestCents).toBeLessThan(21.6);
    expect(text).toContain('way home ');
    expect(text).toContain(`back at another ratio, where the live rule has ${plan.liveReturns}`);
  });

  test('the piece is planned by default', async () => {
    await runCli(['retune', write('a.mid'), '-o', at('b.mid'), '--report', at('r.json')]);
    const report = JSON.parse(readFileSync(at('r.json'), 'utf8'));
    expect(report.plan).toEqual({ end: 'open', smoothSeconds: 200 });
    expect(report.files[0].pieces[0].plan).not.toBeNull();
  });

  test('a piece tuned as it would be played has no plan', async () => {
    await runCli(['retune', write('a.mid'), '-o', at('b.mid'), '--report', at('r.json'), '--plan', 'live']);
    const report = JSON.parse(readFileSync(at('r.json'), 'utf8'));
    expect([report.plan, report.files[0].pieces[0].plan]).toEqual([null, null]);
  });

  test.each([
    [['--plan', 'live', '--end', 'home'], '', '--end is for a planned piece, and --plan is live.'],
    [['--plan', 'live', '--smooth', '5'], '', '--smooth is for a planned piece, and --plan is live.'],
    [
      ['--end', 'home'],
      'plan = "live"',
      '--end is for a planned piece, and the settings have plan = "live".',
    ],
  ])('retune %j over [tuning] %s is a mistake, and nothing is written', async (options, key, message) => {
    const settings = write('s.toml', `[tuning]\n${key}\n`);
    const argv = ['retune', write('a.mid'), '-o', at('b.mid'), '--settings', settings, ...options];
    const { code, err } = await runCli(argv);
    expect([code, existsSync(at('b.mid'))]).toEqual([2, false]);
    expect(err.replaceAll(/\s+/g, ' ')).toContain(message);
    expect(err).toContain('[SETTINGS_CONFLICT]');
  });

  test('--plan replaces the plan of the settings file, with all that belonged to it', async () => {
    const argv = ['retune', write('a.mid'), '-o', at('b.mid'), '--report', at('r.json'), '--settings'];
    const live = [...argv, write('planned.toml', '[tuning]\nend = "home"\n'), '--plan', 'live'];
    expect(await runCli(live)).toMatchObject({ code: 0, err: '' });
    expect(JSON.parse(readFileSync(at('r.json'), 'utf8')).plan).toBeNull();
    const whole = [
      ...argv,
      write('live.toml', '[tuning]\nplan = "live"\n'),
      '--plan',
      'whole',
      '--end',
      'home',
    ];
    expect((await runCli(whole)).code).toBe(0);
    expect(JSON.parse(readFileSync(at('r.json'), 'utf8')).plan.end).toBe('home');
  });

  test('an outlet with compromises is reported', async () => {
    const cluster = Array.from({ length: 20 }, (_, i) => [0, 4, 40 + i] as const);
    const { code, out } = await runCli(
      toArgv`retune ${write('a.mid', buildMidiBytes(cluster))} -o ${at('b.mid')}`,
    );
    expect(code).toBe(0);
    expect(out).toContain('5 notes had to share a channel with one still sounding, for want of a free one');
  });
});

test('an option replaces the settings file of retune, and the settings file replaces the default', async () => {
  const settings = write('s.toml', '[tuning]\nstrategy = "pull"\nleeway = 5\nrecall = 6\na4 = 415\n');
  const report = async (...options: string[]) => {
    const argv = ['retune', write('a.mid'), '-o', at('b.mid'), '--report', at('r.json'), ...options];
    expect((await runCli(argv)).code).toBe(0);
    const { strategy, leewayCents, recallCents, a4Hz } = JSON.parse(
      readFileSync(at('r.json'), 'utf8'),
    ).settings;
    return [strategy, leewayCents, recallCents, a4Hz];
  };
  expect(await report()).toEqual(['anchored', 8, 0, 440]);
  expect(await report('--strategy', 'pull')).toEqual(['pull', 2, 0, 440]);
  expect(await report('--settings', settings)).toEqual(['pull', 5, 6, 415]);
  expect(await report('--settings', settings, '--leeway', '7')).toEqual(['pull', 7, 6, 415]);
  expect(await report('--settings', settings, '--recall', '0')).toEqual(['pull', 5, 0, 415]);
  expect(await report('--strategy', 'free')).toEqual(['free', null, 0, 440]);
});

test('the number of files retuned at once is checked', async () => {
  const { code, err } = await runCli(['retune', write('a.mid'), '-o', at('o.mid'), '--jobs', '0']);
  expect(code).toBe(2);
  expect(err).toMatch(/^leeway: --jobs: .*1 to 256.*\[VALUE_RANGE\]\n$/);
});

describe('retune writes nothing', () => {
  test('over the input, whatever it is called', async () => {
    const input = write('a.mid');
    const before = readFileSync(input);
    for (const output of [input, `${folder()}/./a.mid`, folder()]) {
      const { code, err } = await runCli(['retune', input, '-o', output]);
      expect(code).toBe(2);
      expect(err).toContain('[OUTPUT_IS_INPUT]');
    }
    expect(readFileSync(input)).toEqual(before);
  });

  test('for a file cut off anywhere', async () => {
    const whole = buildMidiBytes(PUMP);
    for (let length = 0; length < whole.length; length++) {
      const { code, out, err } = await runCli(
        toArgv`retune ${write('cut.mid', whole.subarray(0, length))} -o ${at('b.mid')}`,
      );
      expect([length, code, out]).toEqual([length, 2, '']);
      expect(err).toMatch(/^leeway: .*cut\.mid: .*byte \d+.*\[SMF_[A-Z_]+\]\n$/);
    }
    expect(readdirSync(folder())).toEqual(['cut.mid']);
  });

  test.each([
    ['a missing file', ['nowhere.mid'], 'out.mid', 'FILE_MISSING'],
    ['an empty folder', ['empty'], 'out', 'NO_MIDI_FILES'],
    ['a file as OUTPUT of several', ['a.mid', 'b.mid'], 'c.mid', 'OUTPUT_NOT_FOLDER'],
    ['two inputs of one name', ['a.mid', 'sub/a.mid'], 'out', 'OUTPUT_CLASH'],
    ['a folder that is not there', ['a.mid'], 'no/such/out.mid', 'FILE_NO_FOLDER'],
  ])('%s', async (_, inputs, output, code) => {
    mkdirSync(at('empty'));
    mkdirSync(at('sub'));
    for (const name of ['a.mid', 'b.mid', 'c.mid', 'sub/a.mid']) write(name);
    const before = readdirSync(folder(), { recursive: true });
    const result = await runCli(['retune', ...inputs.map((name) => at(name)), '-o', at(output)]);
    expect([result.code, result.out]).toEqual([2, '']);
    expect(result.err).toMatch(new RegExp(`^leeway: .*\\[${code}\\]\\n$`));
    expect(readdirSync(folder(), { recursive: true })).toEqual(before);
  });
});

test('all mistakes in options are reported at once, with the nearest valid value', async () => {
  const options = '--strategy anchord --leeway abc --limit 4 --bend-range 2.5 --home meentone'.split(' ');
  const { code, err } = await runCli(['retune', write('a.mid'), '-o', at('b.mid'), ...options]);
  expect(code).toBe(2);
  expect(existsSync(at('b.mid'))).toBe(false);
  expect(err.split('\n')).toEqual([
    'leeway: --strategy: expected free, pull, anchored or temper, found "anchord". Did you mean anchored? [VALUE_UNKNOWN]',
    'leeway: --leeway: expected a number from 0 to 600 (cents), found "abc". Write the number alone, without its unit. [VALUE_NOT_NUMBER]',
    'leeway: --limit: expected 3, 5, 7, 11 or 13, found "4". It is the highest prime number a ratio may contain; 5 is usual. [VALUE_UNKNOWN]',
    'leeway: --home: expected equal, just, meantone, pythagorean or twelve steps, found "meentone". Did you mean meantone? [VALUE_UNKNOWN]',
    'leeway: --bend-range: expected a whole number from 1 to 96 (semitones), found "2.5". Choose one within these bounds. [VALUE_RANGE]',
    '',
  ]);
});

test('an option without effect brings a remark', async () => {
  const argv = ['retune', write('a.mid'), '-o', at('b.mid'), '--strategy', 'free', '--leeway', '3'];
  const { code, err } = await runCli(argv);
  expect(code).toBe(0);
  expect(err).toContain('leeway: note: --leeway has no effect with --strategy free');
});

test('retune takes the settings of live, and the first of several outlets', async () => {
  const settings = write(
    's.toml',
    `[[input]]
port = "Upper"
[[outlet]]
kind = "mts"
from = ["Upper"]
[[outlet]]
port = "Second"
[[action]]
controller = 67
do = "home-now"
[live]
fuse = 900
`,
  );
  const input = write('a.mid');
  const { code, out, err } = await runCli(['retune', input, '-o', at('b.mid'), '--settings', settings]);
  expect([code, err]).toEqual([0, 'leeway: note: the settings have 2 outlets; retune takes the first.\n']);
  expect(out).toContain('over tuning messages');
  const explained = await runCli(['explain', input, '--settings', settings]);
  expect([explained.code, explained.err]).toEqual([0, '']);
});

describe('the outlet of a settings file', () => {
  function channels(path: string): number[] {
    const events = parseMidi(readFileSync(path)).tracks.flat();
    const on = events.flatMap((event) => (event.type === 'noteOn' ? [event.channel + 1] : []));
    return [...new Set(on)].sort((a, b) => a - b);
  }

  test.each([
    [
      'kind = "mpe"\nzone = "upper"\nmembers = 4',
      [],
      [12, 13, 14, 15],
      'an MPE upper zone of its own, 4 member',
    ],
    [
      'kind = "multichannel"\nchannels = [3, 5, 7, 9]',
      [],
      [3, 5, 7, 9],
      'plain channels 3, 5, 7, 9 of one port',
    ],
    [
      'kind = "multichannel"\nchannels = [3]\nbend-range = 12',
      ['--outlet', 'mpe'],
      undefined,
      'lower zone of its own, bend range 48',
    ],
  ] as const)('retune %j %j writes what they ask for', async (table, options, expected, words) => {
    const settings = write('s.toml', `[outlet]\n${table}\n`);
    const argv = ['retune', write('a.mid'), '-o', at('b.mid'), '--settings', settings, ...options];
    const { code, out, err } = await runCli(argv);
    expect([code, err]).toEqual([0, '']);
    expect(out.replaceAll(/\s+/g, ' ')).toContain(words);
    const used = channels(at('b.mid'));
    if (expected === undefined) expect(used.length).toBeGreaterThan(1);
    else expect(used).toEqual(expected);
  });
});
