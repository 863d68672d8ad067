import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findPageToken, toTokenPath } from '../../src/cli/page-token.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const state = useTemporaryFolder();
const find = (folder: string, isNew = false, env = { XDG_STATE_HOME: state() } as Record<string, string>) =>
  findPageToken(folder, isNew, env);

test('the token of a folder is the same after a restart, and another folder has another', async () => {
  const token = await find('/music');
  expect(token).toMatch(/^[\w-]{43}$/);
  expect(await find('/music')).toBe(token);
  expect(await find('/music/')).toBe(token);
  expect(await find('/other')).not.toBe(token);
});

test('another token is made on request, and holds from then on', async () => {
  const token = await find('/music');
  const other = await find('/music', true);
  expect(other).not.toBe(token);
  expect(await find('/music')).toBe(other);
});

test('what is kept and is no token is replaced', async () => {
  const path = String(toTokenPath('/music', { XDG_STATE_HOME: state() }, process.platform));
  const token = await find('/music');
  expect(await readFile(path, 'utf8')).toBe(token);
  await writeFile(path, 'short');
  expect(await find('/music')).toMatch(/^[\w-]{43}$/);
  expect(await readFile(path, 'utf8')).not.toBe('short');
});

test('without a folder to keep it in, the token is a new one each time', async () => {
  expect(await find('/music', false, {})).not.toBe(await find('/music', false, {}));
  await writeFile(join(state(), 'file'), '');
  const closed = { XDG_STATE_HOME: join(state(), 'file') };
  expect(await find('/music', false, closed)).not.toBe(await find('/music', false, closed));
});

test.each([
  ['linux', { HOME: '/home/ada', XDG_STATE_HOME: '/state' }, '/state/leeway/tokens/'],
  ['linux', { HOME: '/home/ada', XDG_STATE_HOME: 'not/whole' }, '/home/ada/.local/state/leeway/tokens/'],
  ['darwin', { HOME: '/Users/ada' }, '/Users/ada/Library/Application Support/Leeway/tokens/'],
  ['win32', { HOME: '/home/ada' }, undefined],
  ['win32', { LOCALAPPDATA: '/local' }, '/local/Leeway/tokens/'],
  ['linux', {}, undefined],
] as const)('on %s with %j a token is kept in %s', (platform, env, folder) => {
  const path = toTokenPath('/music', env, platform);
  if (folder === undefined) expect(path).toBeUndefined();
  else expect(path?.startsWith(folder)).toBe(true);
});
