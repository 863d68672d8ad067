import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();
const at = (...names: string[]) => join(folder(), ...names);
const plain = (text: string) => text.replaceAll(/\s+/g, ' ');

test('pump works a formula out, says why, and writes nothing unless it is asked to', async () => {
  const { code, out, err } = await runCli(['pump', 'I vi ii V', '--passes', '5']);
  expect([code, err]).toEqual([0, '']);
  expect(plain(out)).toContain(
    'Am 5/3 +884.4 c C is held: the root of C, 1/1, becomes the third of Am, 6/5; so the root moves by 5/6; E is held too',
  );
  expect(plain(out)).toContain('C 80/81 −21.5 c G is held');
  expect(out).toContain('  a pass    80/81, −1 syntonic comma, −21.5 c');
  expect(out).toContain('  5 passes  (80/81)⁵, −5 syntonic commas, −107.5 c');
  expect(plain(out)).toContain('because 5/6 · 4/3 · 4/3 · 4/3 = 80/81, 1 octave up left out');
  expect(out).toContain('with --strategy free it drifts just so');
  expect(out).toContain('none was asked for; -o writes one');
  for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(100);
});

test('pump takes words without quotes, writes the file and reports it', async () => {
  const { code, out } = await runCli(['pump', 'C', 'Am', 'Dm', 'G', '-o', at('p.mid'), '--seconds', '1.5']);
  expect(code).toBe(0);
  expect(out.split('\n')[0]).toBe(`C Am Dm G → ${at('p.mid')}`);
  expect(plain(out)).toContain(
    '4 voices, 4 passes and the first chord again, 1.5 s a chord, 26 s; common notes tied',
  );
  expect(parseMidi(readFileSync(at('p.mid'))).tracks.length).toBe(5);
  const free = await runCli(['retune', at('p.mid'), '-o', at('r.mid'), '--strategy', 'free']);
  expect(plain(free.out)).toContain('−4 syntonic commas, −86.0 c at the end');
});

test('pump sets a classic by its name, in another key, for three voices, with every note restruck', async () => {
  const argv = ['pump', 'Turnaround', '--tonic', 'D', '--voices', '3', '--restruck', '-o', at('p.mid')];
  const { code, out } = await runCli(argv);
  expect(code).toBe(0);
  expect(plain(out)).toContain('turnaround: the round of countless songs');
  expect(plain(out)).toContain('Bm 5/3');
  expect(plain(out)).toContain('3 voices');
  expect(plain(out)).toContain('every note struck again');
});

test('pump writes to standard output, and its words to standard error', async () => {
  const stdout = new PassThrough({ highWaterMark: 2 ** 24 });
  const { code, err } = await runCli(['pump', 'I V', '-o', '-'], { stdout });
  expect(code).toBe(0);
  expect(err).toContain('I V → standard output');
  expect(parseMidi(stdout.read() as Buffer).tracks.length).toBe(5);
});

test('pump --list shows each name with its chords and its comma', async () => {
  const { code, out } = await runCli(['pump', '--list']);
  expect(code).toBe(0);
  expect(out).toContain('  turnaround         C Am Dm G\n');
  expect(out).toContain('I vi ii V: 80/81, −1 syntonic comma, −21.5 c a pass');
  expect(plain(out)).toContain('C7 F7 G7: 64/63, +1 septimal comma, +27.3 c a pass');
  expect(plain(out)).toContain('tune it with --limit 7');
  expect(plain(out)).toContain('531441/524288, +1 Pythagorean comma, +23.5 c a pass');
});

test('pump says when the tuner would hold the pump back', async () => {
  const { code, out } = await runCli(['pump', 'I vi ii V', '--seconds', '0.25', '--restruck']);
  expect(code).toBe(0);
  expect(plain(out)).toContain('instead: where nothing is tied');
});

describe('mistakes of the pump command:', () => {
  test.each([
    [
      ['pump'],
      'There is no formula. Give one, such as "I vi ii V"; leeway pump --list names the classic ones. [USAGE]',
    ],
    [['pump', 'I vi H'], '"I vi H": "H" is neither a chord nor a move of the root (word 3).'],
    [['pump', 'I IV V'], '"I IV V": F and G (chords 2 and 3) have no note in common'],
    [['pump', 'C7 F7', '--voices', '3'], '"C7 F7": C7 has four notes, and there are three voices.'],
    [
      ['pump', 'I V', '--passes', '0'],
      '--passes: expected a whole number from 1 to 1000 (passes), found "0"',
    ],
    [['pump', 'I V', '--seconds', 'x'], '--seconds: expected a number from 0.1 to 60 (seconds), found "x"'],
    [['pump', 'I V', '--tonic', 'H'], '--tonic: "H" is not the name of a tonic.'],
    [['pump', 'I V', '--voices', '5'], '--voices: expected 3 or 4, found "5"'],
  ])('pump %j is refused', async (argv, sentence) => {
    const { code, err, out } = await runCli([...argv, '-o', at('p.mid')]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(`leeway: ${sentence}`);
    expect(existsSync(at('p.mid'))).toBe(false);
  });

  test('pump refuses an output that is a folder or in a missing one', async () => {
    mkdirSync(at('out'));
    expect((await runCli(['pump', 'I V', '-o', at('out')])).err).toContain('[FILE_IS_FOLDER]');
    expect((await runCli(['pump', 'I V', '-o', at('no', 'p.mid')])).err).toContain('[FILE_NO_FOLDER]');
  });
});
