import { createHash, randomBytes } from 'node:crypto';
import { join, resolve } from 'node:path';
import { readPrivate, writePrivate } from '../io/files/index.js';
import type { World } from './world.js';

/** Bytes of a token: far beyond guessing. */
const TOKEN_BYTES = 32;
const TOKEN = /^[\w-]{43}$/;

/**
 * The token of the page for sessions of a folder: the same after a restart, so that an open page is the player's still.
 * It is kept in the user's state folder, for nobody else to read. Where it can't be kept, it is a new one each time.
 *
 * @param folder that of the settings file, or the working directory
 * @param isNew  forget the one there was
 */
export async function findPageToken(folder: string, isNew: boolean, env: World['env']): Promise<string> {
  const path = toTokenPath(folder, env, process.platform);
  const known = isNew || path === undefined ? undefined : await readPrivate(path);
  if (known !== undefined && TOKEN.test(known)) return known;
  const token = randomBytes(TOKEN_BYTES).toString('base64url');
  if (path !== undefined) await writePrivate(path, token);
  return token;
}

/**
 * Where the token of a folder is kept; `undefined`: the user has no state folder.
 * @example toTokenPath('/', { HOME: '/home/ada' }, 'linux')  // '/home/ada/.local/state/leeway/tokens/8a5edab282632443219e051e4ade2d1d'
 */
export function toTokenPath(
  folder: string,
  env: World['env'],
  platform: NodeJS.Platform,
): string | undefined {
  const state = toStateFolder(env, platform);
  const name = createHash('sha256').update(resolve(folder)).digest('hex').slice(0, 32);
  return state === undefined ? undefined : join(state, 'tokens', name);
}

/** The XDG Base Directory Specification has XDG_STATE_HOME; other systems have folders of their own. */
function toStateFolder(
  { XDG_STATE_HOME: asked, HOME: home, LOCALAPPDATA: local }: World['env'],
  platform: NodeJS.Platform,
): string | undefined {
  if (platform === 'win32') return local && join(local, 'Leeway');
  if (asked?.startsWith('/')) return join(asked, 'leeway');
  if (!home) return undefined;
  return platform === 'darwin'
    ? join(home, 'Library', 'Application Support', 'Leeway')
    : join(home, '.local', 'state', 'leeway');
}
