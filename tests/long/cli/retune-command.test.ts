import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { buildMidiBytes, PUMP } from '../../support/build-midi.js';
import { runCli } from '../../support/run-cli.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();

const at = (...names: string[]): string => join(folder(), ...names);

function write(name: string, content: Uint8Array | string = buildMidiBytes(PUMP)): string {
  writeFileSync(at(name), content);
  return at(name);
}

describe('retune with several files:', () => {
  test('a folder is rebuilt under OUTPUT', async () => {
    mkdirSync(at('songs', 'more'), { recursive: true });
    write('songs/a.mid');
    write('songs/more/b.MID');
    write('songs/more/notes.txt', 'no music');
    const { code, out } = await runCli(['retune', at('songs'), '-o', at('out')]);
    expect(code).toBe(0);
    expect(readdirSync(at('out'), { recursive: true }).map(String).sort()).toEqual([
      'a.mid',
      'more',
      join('more', 'b.MID'),
    ]);
    expect(out).toContain('2 of 2 retuned');
  });

  test('an interrupted run goes on, and finished files are left as they are', async () => {
    mkdirSync(at('songs'));
    for (const name of ['a', 'b', 'c']) write(`songs/${name}.mid`);
    const argv = ['retune', at('songs'), '-o', at('out'), '--jobs', '2'];
    expect((await runCli(argv)).out).toMatch(/^3 of 3 retuned\n {2}notes .* in 3 pieces/m);
    rmSync(at('out', 'b.mid'));
    writeFileSync(at('out', 'a.mid'), 'mine');
    const { code, out } = await runCli([...argv, '--resume']);
    expect(code).toBe(0);
    expect(out).toContain('1 of 1 retuned; 2 files had been done before');
    expect(readFileSync(at('out', 'a.mid'), 'utf8')).toBe('mine');
    expect(readFileSync(at('out', 'b.mid'))).toEqual(readFileSync(at('out', 'c.mid')));
  });

  test('one bad file of three is reported, and the rest is done', async () => {
    const bad = write('bad.mid', buildMidiBytes(PUMP).subarray(0, 40));
    const argv = ['retune', write('a.mid'), bad, write('c.mid'), '-o', at('out'), '--report', at('r.json')];
    const { code, out, err } = await runCli(argv);
    expect(code).toBe(1);
    expect(err).toMatch(/^leeway: .*bad\.mid: .*byte 22.*\[SMF_TRUNCATED\]\n$/);
    expect(out).toContain('2 of 3 retuned');
    expect(readdirSync(at('out')).sort()).toEqual(['a.mid', 'c.mid']);
    const { files } = JSON.parse(readFileSync(at('r.json'), 'utf8'));
    expect(files.map((file: { ok: boolean }) => file.ok)).toEqual([true, false, true]);
    expect(files[1].problem.code).toBe('SMF_TRUNCATED');
  });

  test('a progress bar is shown on a terminal, and the same summary after it', async () => {
    const argv = ['retune', write('a.mid'), write('b.mid'), '-o', at('out')];
    const plain = await runCli(argv);
    const shown = await runCli(argv, { terminal: true });
    expect(plain.err).toBe('');
    expect(shown.err).toContain('0 of 2 files');
    expect(shown.out).toBe(plain.out);
  });
});
