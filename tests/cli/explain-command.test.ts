import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { formatMidiFile } from '../../src/core/midi/index.js';
import { toArgv } from '../support/argv.js';
import { buildMidiBytes, PUMP } from '../support/build-midi.js';
import { CHOIR } from '../support/choir.js';
import { runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();

function write(name: string, bytes: Uint8Array | string): string {
  const path = join(folder(), name);
  writeFileSync(path, bytes);
  return path;
}

/** The lines from the first chord on, without spaces at either end. */
function toStory(out: string): string[] {
  return out
    .slice(out.indexOf('bar '))
    .split('\n')
    .map((line) => line.trim());
}

test('fixed notes and guides are named as such, and the ledger says what the fixed part forced', async () => {
  const choir = write('choir.mid', formatMidiFile(CHOIR));
  const argv = ['explain', choir, '--strategy', 'free', '--role', 'bass=fixed', '--role', '2=guide'];
  const { out, err } = await runCli([...argv, '--from', '2', '--to', '2']);
  expect(err).toBe('');
  expect(out.replaceAll(/\s+/g, ' ')).toContain(
    'parts 1 Upper (track 1, channel 1), 2 Middle (track 2, channel 2, guide), 3 Bass (track 3, channel 4, fixed)',
  );
  // A minor over its bass: the others are pure to it.
  const story = toStory(out);
  expect(story[0]).toBe(
    'bar 2, beat 1  2.000 s  drift +15.6 c by the offset alone; chord mean 5.9 c above home',
  );
  expect(story[1]).toMatch(/^C5⁰ +1 +1\/1 +24\/5 +\+15\.6 /);
  expect(out).toMatch(/\n +E4⁻¹ +2 +5\/4 +3\/1 +\+2\.0 /);
  expect(out).toMatch(/\n +A2⁻¹ +3 +5\/3 +1\/1 +0\.0 +fixed; /);
  expect(out).toContain(
    'ledger: The pitch moved by +15.6 c, to the fixed part: 3 struck notes took it at once',
  );
  const json = JSON.parse((await runCli([...argv, '--json'])).out);
  expect(json.pieces[0].parts.map(({ role }: { role: string }) => role)).toEqual(['tuned', 'guide', 'fixed']);
  expect(json.pieces[0].moments[0].notes.map(({ isFixed }: { isFixed: boolean }) => isFixed)).toEqual([
    true,
    false,
    false,
  ]);
});

describe('a falling pump', () => {
  test('is explained chord by chord as it was worked out by hand', async () => {
    const { code, out, err } = await runCli(
      toArgv`explain ${write('pump.mid', buildMidiBytes(PUMP))} --strategy free`,
    );
    expect([code, err]).toEqual([0, '']);
    expect(toStory(out).slice(0, 31)).toEqual([
      'bar 1, beat 1  0.000 s  drift none; chord mean at home',
      'G4⁰      3/2      3/2      +5.9   a just fifth above C4⁰, struck together',
      'E4⁻¹     5/4      5/4      −9.8   a just major third above C4⁰, struck together',
      'C4⁰      1/1      1/1      +3.9   first note',
      'ledger: The first chord was placed at home: +3.9 c for every note.',
      '',
      'bar 2, beat 1  2.000 s  drift none; chord mean 5.9 c below home',
      'A4⁻¹     5/3      5/3     −11.7   a just fourth above E4⁻¹, held',
      'E4⁻¹     5/4      5/4      −9.8   tied over',
      'C4⁰      1/1      1/1      +3.9   tied over',
      '',
      'bar 3, beat 1  4.000 s  drift none; chord mean 7.8 c below home',
      'A4⁻¹     5/3      3/2     −11.7   tied over',
      'F4⁰      4/3      6/5      +2.0   a just major third below A4⁻¹, held',
      'D4⁻¹     10/9     1/1     −13.7   a just fifth below A4⁻¹, held',
      '',
      'bar 4, beat 1  6.000 s  drift 80/81, −1 syntonic comma, −21.5 c; chord mean 19.6 c below home',
      'B4⁻²     50/27    5/3     −29.3   a just major third above G4⁻¹, struck together',
      'G4⁻¹     40/27    4/3     −15.6   a just fourth above D4⁻¹, held',
      'D4⁻¹     10/9     1/1     −13.7   tied over',
      'ledger: G4⁻¹ came back one syntonic comma lower (−21.5 c): 40/27 instead of 3/2.',
      'ledger: G4⁻¹ came back a comma low: it was tied to D4⁻¹. That moved the drift by −21.5 c.',
      '',
      'bar 5, beat 1  8.000 s  drift 80/81, −1 syntonic comma, −21.5 c; chord mean 21.5 c below home',
      'G4⁻¹     40/27    3/2     −15.6   tied over',
      'E4⁻²     100/81   5/4     −31.3   a just major third above C4⁻¹, struck together',
      'C4⁻¹     80/81    1/1     −17.6   a just fifth below G4⁻¹, held',
      'ledger: C4⁻¹ came back one syntonic comma lower (−21.5 c): 80/81 instead of 1/1.',
      'ledger: E4⁻² came back one syntonic comma lower (−21.5 c): 100/81 instead of 5/4.',
      '',
      'totals of the whole piece',
    ]);
  });

  test('is shown in the bars of --from and --to, though all of it is played', async () => {
    const path = write('pump.mid', buildMidiBytes(PUMP));
    const { out } = await runCli(['explain', path, '--strategy', 'free', '--from', '5', '--to', '5']);
    expect(out.match(/^bar \d+/gm)).toEqual(['bar 5']);
    expect(out).toContain('drift 80/81');
  });

  test('is not shown in bars past its end, and explain says where it ends', async () => {
    const { code, out } = await runCli(['explain', write('pump.mid', buildMidiBytes(PUMP)), '--from', '9']);
    expect(code).toBe(0);
    expect(out).toContain('No note is struck in these bars; the last one of the piece is in bar 5.');
  });

  test('is explained by --json in the same way, with a version', async () => {
    const path = write('pump.mid', buildMidiBytes(PUMP));
    const { code, out } = await runCli(['explain', path, '--strategy', 'free', '--json']);
    const told = JSON.parse(out);
    expect([code, told.kind, told.version]).toEqual([0, 'leeway explanation', 2]);
    const { moments } = told.pieces[0];
    expect(moments).toHaveLength(5);
    expect(moments[4].drift).toEqual({
      ratio: '80/81',
      words: '−1 syntonic comma',
      cents: -21.506,
      backCents: 0,
      leftCents: -21.506,
    });
    expect(moments[3].ledger).toContainEqual({
      kind: 'drift',
      seconds: 6,
      part: 0,
      key: 67,
      isReturn: true,
      byKey: 62,
      comma: { ratio: '80/81', words: '−1 syntonic comma', cents: -21.506 },
    });
    expect(moments[2].notes[0]).toMatchObject({
      name: 'D4⁻¹',
      toHome: '10/9',
      toBass: '1/1',
      decidedBy: { presence: 'held', name: 'A4⁻¹', interval: '2/3', words: 'a just fifth below' },
    });
  });

  test('is explained in lines of at most 100 columns, in colour on terminals only', async () => {
    const path = write('pump.mid', buildMidiBytes(PUMP));
    const plain = await runCli(['explain', path]);
    const coloured = await runCli(['explain', path], { terminal: true });
    const introducer = String.fromCharCode(27);
    const lines = plain.out.split('\n').filter((line) => !line.includes(path));
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(100);
    expect(plain.out).not.toContain(introducer);
    expect(coloured.out).toContain(`${introducer}[`);
    expect(coloured.out.replaceAll(new RegExp(`${introducer}\\[\\d+m`, 'g'), '')).toBe(plain.out);
  });
});

test('a drift after many passes is explained within 100 columns', async () => {
  const passes = Array.from({ length: 50 }, (_, pass) =>
    PUMP.filter(([start]) => start < 16).map(
      ([start, end, key]) => [16 * pass + start, 16 * pass + Math.min(end, 16), key] as const,
    ),
  ).flat();
  const path = write('long.mid', buildMidiBytes(passes));
  const { out } = await runCli(['explain', path, '--strategy', 'free', '--plan', 'live']);
  const lines = out.split('\n').slice(1);
  expect(lines.filter((line) => line.length > 100)).toEqual([]);
  expect(out).toContain('(80/81)⁴⁹, −49 syntonic commas');
});

test('explain says of a file without notes that there is none to tune', async () => {
  const { code, out } = await runCli(['explain', write('empty.mid', buildMidiBytes([]))]);
  expect(code).toBe(0);
  expect(out).toContain('There is no note to tune.');
});

describe('mistakes of the explain command:', () => {
  test.each([
    [['--from', '0'], '--from: expected a whole number from 1 to 1000000 (bars), found "0".', 'VALUE_RANGE'],
    [
      ['--to', 'two'],
      '--to: expected a whole number from 1 to 1000000 (bars), found "two".',
      'VALUE_NOT_NUMBER',
    ],
    [['--from', '5', '--to', '2'], '--from 5 is after --to 2.', 'BARS_BACKWARD'],
    [['--tonic', 'H'], '--tonic: "H" is not the name of a tonic.', 'TONIC_NAME'],
  ])('explain %j is refused', async (options, sentence, code) => {
    const path = write('pump.mid', buildMidiBytes(PUMP));
    const result = await runCli(['explain', path, ...options]);
    expect([result.code, result.out]).toEqual([2, '']);
    expect(result.err).toContain(`leeway: ${sentence} `);
    expect(result.err).toContain(`[${code}]`);
  });

  test('explain refuses a missing file and a folder', async () => {
    const missing = await runCli(['explain', join(folder(), 'nowhere.mid')]);
    expect([missing.code, missing.out]).toEqual([2, '']);
    expect(missing.err).toMatch(/nowhere\.mid: there is no such file or folder\. .* \[FILE_MISSING\]\n$/);
    mkdirSync(join(folder(), 'songs'));
    const directory = await runCli(['explain', join(folder(), 'songs')]);
    expect(directory.code).toBe(2);
    expect(directory.err).toContain('[FILE_IS_FOLDER]');
  });
});

describe('a lecture sheet', () => {
  const pump = () => write('pump.mid', buildMidiBytes(PUMP));

  test('is written by --sheet, and reported in two lines', async () => {
    const to = join(folder(), 'sheet.html');
    const { code, out, err } = await runCli(['explain', pump(), '--strategy', 'free', '--sheet', to]);
    expect([code, err]).toEqual([0, '']);
    expect(out.split('\n').slice(1)).toEqual([
      '  5 chords in 1 system; open it in a browser and print it on A4',
      '',
    ]);
    const page = readFileSync(to, 'utf8');
    expect(page).toContain('<h1>pump</h1>');
    expect(page).toContain(
      'Bars 1 to 5; planned; free: the pitch may drift; limit 5; home 12 equal on C, A = 440 Hz',
    );
  });

  test('is laid out for other paper and for portrait, and reports it', async () => {
    const to = join(folder(), 'sheet.html');
    const how = ['--strategy', 'free', '--portrait', '--paper', 'Letter'];
    const { code, out, err } = await runCli(['explain', pump(), ...how, '--sheet', to]);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain(
      '5 chords in 2 systems; open it in a browser and print it on letter paper, portrait',
    );
    expect(readFileSync(to, 'utf8')).toContain('@page { size: letter portrait;');
  });

  test('paper options without a sheet bring a remark, and change nothing', async () => {
    const plain = await runCli(['explain', pump()]);
    const { code, out, err } = await runCli(['explain', pump(), '--portrait']);
    expect([code, out]).toEqual([0, plain.out]);
    expect(err).toMatch(/^leeway: note: .*--sheet/);
  });

  test('replaces an older sheet as a whole', async () => {
    const to = write('sheet.svg', 'an older one');
    expect((await runCli(['explain', pump(), '--sheet', to])).code).toBe(0);
    expect(readFileSync(to, 'utf8')).toMatch(/^<svg [\s\S]*<\/svg>$/);
    expect(readdirSync(folder()).sort()).toEqual(['pump.mid', 'sheet.svg']);
  });

  test('shows the bars, the plan and the home that the options ask for', async () => {
    const to = join(folder(), 'sheet.svg');
    const wish = ['--from', '2', '--to', '3', '--end', 'home', '--home', 'just', '--tonic', 'G'];
    expect((await runCli(['explain', pump(), ...wish, '--sheet', to])).code).toBe(0);
    const svg = readFileSync(to, 'utf8');
    expect(svg).toContain('Bars 2 to 3; planned to end where it began; anchored');
    expect(svg).toContain('home just on G');
  });

  test('never replaces its input', async () => {
    const input = write('piece.svg', buildMidiBytes(PUMP));
    const { code, err } = await runCli(['explain', input, '--sheet', input]);
    expect([code, err.includes('[OUTPUT_IS_INPUT]')]).toEqual([2, true]);
    expect(readFileSync(input)).toEqual(Buffer.from(buildMidiBytes(PUMP)));
  });

  test('is written besides the JSON of --json', async () => {
    const to = join(folder(), 'sheet.svg');
    const { code, out } = await runCli(['explain', pump(), '--json', '--sheet', to]);
    expect(code).toBe(0);
    expect(JSON.parse(out).pieces).toHaveLength(1);
    expect(readFileSync(to, 'utf8')).toContain('</svg>');
  });

  test.each([
    ['sheet.pdf', [], 'SHEET_NAME', '.html'],
    ['-', [], 'SHEET_NAME', '.svg'],
    ['sheet.svg', ['--from', '30'], 'SHEET_EMPTY', 'bar 5'],
    ['sheet.html', ['--paper', 'a5'], 'VALUE_UNKNOWN', 'expected a4 or letter'],
    ['missing/sheet.svg', [], 'FILE_NO_FOLDER', 'missing'],
  ])('with --sheet %s %j fails with %s', async (name, more, problem, says) => {
    const to = name === '-' ? name : join(folder(), name);
    const { code, out, err } = await runCli(['explain', pump(), ...more, '--sheet', to]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(`[${problem}]`);
    expect(err).toContain(says);
    expect(readdirSync(folder())).toEqual(['pump.mid']);
  });
});
