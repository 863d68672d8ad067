import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { gatherLiveSettings } from '../../../src/cli/settings/index.js';
import { runCli } from '../../support/run-cli.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();

/** A settings file with an action for each preset, beside these files. @returns its path */
function write(presets: readonly string[], files: Readonly<Record<string, string>>, more = ''): string {
  mkdirSync(join(folder(), 'sets'), { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder(), name), text);
  const actions = presets.map(
    (preset, i) => `[[action]]\nprogram = ${i + 1}\ndo = "preset"\npreset = "${preset}"\n`,
  );
  writeFileSync(join(folder(), 'stage.toml'), `${more}${actions.join('')}`);
  return join(folder(), 'stage.toml');
}

async function gather(path: string, options = {}) {
  const gathered = await gatherLiveSettings(path, options);
  if (!gathered.ok) throw gathered.mistakes[0];
  return gathered;
}

describe('a preset', () => {
  test('has the tuning of its file, and what that leaves out from the settings file that loads it', async () => {
    const path = write(
      ['sets/slow.toml', 'bright.toml'],
      { 'sets/slow.toml': '[tuning]\nstrategy = "pull"\n', 'bright.toml': '[tuning]\nlimit = 7\na4 = 440\n' },
      '[tuning]\na4 = 442\nleeway = 4\n',
    );
    const { settings, presetPaths } = await gather(path, { a4: '441' });
    const [slow, bright] = settings.presets;
    const cents = (hertz: number) => expect.closeTo(1200 * Math.log2(hertz / 440), 9);
    expect(slow).toMatchObject({
      name: 'slow',
      leewayCents: 4,
      tuner: { strategy: 'pull', limit: 5, leewayCents: 4, referenceCents: cents(441) },
    });
    expect(bright).toMatchObject({
      name: 'bright',
      tuner: { strategy: 'anchored', limit: 7, referenceCents: cents(440) },
    });
    expect(settings.actions.map(({ action, preset }) => [action, preset])).toEqual([
      ['preset', 'slow'],
      ['preset', 'bright'],
    ]);
    expect(presetPaths).toEqual(['sets/slow.toml', 'bright.toml'].map((name) => join(folder(), name)));
    for (const part of [settings.presets, slow, slow.tuner]) expect(Object.isFrozen(part)).toBe(true);
  });

  test('that several actions load is read once', async () => {
    const path = write(['a.toml', './a.toml'], { 'a.toml': '[tuning]\nlimit = 7\n' });
    expect((await gather(path)).settings.presets.map(({ name }) => name)).toEqual(['a']);
  });

  test('may have anything else in its file, which is for its own use', async () => {
    const text = '[tuning]\nlimit = 7\n[[outlet]]\nport = 3\n[nonsense]\nx = 1\n[[action]]\n';
    expect((await gather(write(['a.toml'], { 'a.toml': text }))).settings.presets[0].tuner.limit).toBe(7);
  });

  test('is not read by commands that load none', async () => {
    const path = write(['gone.toml'], {});
    expect(await runCli(['retune', '--settings', path, 'gone.mid', '-o', 'x.mid'])).toMatchObject({
      err: expect.not.stringContaining('gone.toml'),
    });
  });
});

describe('check tells the mistakes of presets with their place:', () => {
  test.each<[string, string, RegExp]>([
    ['a wrong value', '[tuning]\nlimit = 4\n', /a\.toml:2:9: limit: .* \[VALUE_UNKNOWN\]$/],
    ['an unknown key', '[tuning]\n\nlimt = 5\n', /a\.toml:3:1: .* \[SETTINGS_KEY\]$/],
    ['keys that clash', '[tuning]\nplan = "live"\nend = "home"\n', /a\.toml:3:1: .* \[SETTINGS_CONFLICT\]$/],
    ['no TOML', '[tuning\n', /a\.toml:1:\d+: This is not TOML.* \[SETTINGS_TOML\]$/],
    ['no tuning', '[live]\nfuse = 200\n', /a\.toml:1:1: A preset needs \[tuning\].* \[SETTINGS_MISSING\]$/],
  ])('%s', async (_, text, mistake) => {
    const path = write(['a.toml'], { 'a.toml': text });
    const { code, out, err } = await runCli(['check', path]);
    expect([code, out]).toEqual([2, '']);
    expect(err.trim()).toMatch(mistake);
    const { out: json } = await runCli(['check', path, '--json']);
    expect(JSON.parse(json).mistakes[0].path).toBe(join(folder(), 'a.toml'));
  });

  test('a file that is not there, where it is named', async () => {
    const path = write(['gone.toml', 'sets'], {});
    const { code, err } = await runCli(['check', path]);
    expect(code).toBe(2);
    expect(err.trim().split('\n')).toEqual([
      expect.stringMatching(/stage\.toml:4:10: preset: .*gone\.toml.* \[FILE_MISSING\]$/),
      expect.stringMatching(/stage\.toml:8:10: preset: .*sets.* \[FILE_IS_FOLDER\]$/),
    ]);
  });

  test('of an action in single brackets too', async () => {
    const path = join(folder(), 'one.toml');
    writeFileSync(path, '[action]\nnote = 1\ndo = "preset"\npreset = "gone.toml"\n');
    expect((await runCli(['check', path])).err).toMatch(/one\.toml:4:10: preset: /);
  });
});
