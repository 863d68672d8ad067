import { isIPv6 } from 'node:net';
import { networkInterfaces } from 'node:os';
import { readBuiltInPieces } from '../app/live/built-in-pieces.js';
import { LivePage } from '../app/live/live-page.js';
import type { LiveSession } from '../app/live/live-session.js';
import type { NamedPiece } from '../app/live/piece-stretch.js';
import { toLeewayError } from '../app/problem-error.js';
import { readStory } from '../app/story/read-story.js';
import type { Story } from '../app/story/story.js';
import type { Clock, VitalSigns } from '../io/clock/index.js';
import type { LeewayError } from '../io/leeway-error.js';
import { DEFAULT_PAGE_PORT, parseRelayAddress, type RelayAddress } from '../io/server/index.js';
import type { LiveLog } from './live-log.js';
import { readVersion, toOwnPath } from './root.js';
import type { PageChoice } from './settings/index.js';

/** What the page needs of the command that serves it. */
export interface PageContext {
  /** Needed to play and to change anything. */
  readonly token: string;
  readonly clock: Clock;
  readonly vitals: () => VitalSigns;
  readonly log: LiveLog;
}

/** What there is to play and to tell; or what is wrong with the story that was given. */
export type PageContents =
  | { readonly ok: true; readonly pieces: readonly NamedPiece[]; readonly stories: readonly Story[] }
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/** Reads the built-in pieces and story, and the one that was given. Throws a LeewayError if one can't be read. */
export async function readPageContents({ story: given }: PageChoice): Promise<PageContents> {
  const folder = toOwnPath('configs/demo');
  const pieces = await readBuiltInPieces(folder);
  const stories: Story[] = [];
  for (const path of [`${folder}/story.toml`, ...(given === undefined ? [] : [given])]) {
    const parsed = await readStory(path, pieces);
    if (!parsed.ok) return parsed;
    stories.push(parsed.story);
  }
  return { ok: true, pieces, stories };
}

/**
 * A page for a session; nothing is served yet. Throws a LeewayError if the address of the relay is none: RELAY_ADDRESS.
 */
export function createPage(
  { address, port, relay: asked }: PageChoice,
  { pieces, stories }: Extract<PageContents, { ok: true }>,
  { token, clock, vitals, log }: PageContext,
): LivePage {
  const relay = asked === undefined ? undefined : readRelay(asked);
  return new LivePage(
    {
      address,
      port,
      token,
      relay,
      folder: toOwnPath('dist/page'),
      version: readVersion(),
      pieces,
      stories,
    },
    {
      clock,
      vitals,
      lost: (reason, pauseMs) => {
        const when = pauseMs < 1000 ? 'at once' : `in ${Math.round(pauseMs / 1000)} s`;
        const text = `The page stopped (${reason.replace(/\.$/, '')}) and comes back ${when}, at the same address. The music goes on.`;
        log.tell({ level: 'warn', text });
      },
      back: () => log.tell({ level: 'info', text: 'The page is back.' }),
      relay: (lost) => {
        if (lost === undefined) log.tell({ level: 'info', text: `The relay at ${relay?.page} is back.` });
        else
          log.tell({
            level: 'warn',
            code: 'RELAY_LOST',
            text: `The relay at ${relay?.page}: ${lost}. The music goes on. Trying again.`,
          });
      },
    },
  );
}

/** Serves the page and prints its address. Rejects with a LeewayError if it can't. */
export async function openPage(
  page: LivePage,
  session: LiveSession,
  choice: PageChoice,
  log: LiveLog,
): Promise<void> {
  const port = await page.open(session);
  if (choice.port === undefined && port !== DEFAULT_PAGE_PORT)
    log.tell({ level: 'info', text: `Port ${DEFAULT_PAGE_PORT} is in use, so the page is at ${port}.` });
  const { own, room } = toPageAddresses(choice.address, port, page.token);
  page.addresses = [...(page.relay === undefined ? [] : toRelayAddresses(page.relay)), ...room];
  log.tell({ level: 'info', text: `The page: ${own}` });
  if (page.addresses.length > 0)
    log.tell({
      level: 'info',
      text: `To look on from another device, without playing: ${page.addresses.join(' or ')}`,
    });
}

/** Addresses that mean all of a computer's. */
const EVERYWHERE = ['0.0.0.0', '::'];

/** The page's address for players, with the token behind #token=, and those for viewers, if the room may look. */
function toPageAddresses(
  address: string,
  port: number,
  token: string,
): { own: string; room: readonly string[] } {
  const at = (host: string) => `http://${isIPv6(host) ? `[${host}]` : host}:${port}/`;
  const isEverywhere = EVERYWHERE.includes(address);
  const isOwn = isLoopback(address);
  const own = `${at(isEverywhere ? '127.0.0.1' : address)}#token=${token}`;
  if (isOwn) return { own, room: [] };
  return { own, room: (isEverywhere ? listAddresses() : [address]).map(at) };
}

function readRelay(text: string): RelayAddress {
  const relay = parseRelayAddress(text);
  if (relay.ok) return relay.value;
  throw toLeewayError(relay.problem, '--relay');
}

/** The addresses of a relay for onlookers. One on this computer has the computer's addresses in the room. */
function toRelayAddresses({ page }: RelayAddress): readonly string[] {
  const url = new URL(page);
  const room = isLoopback(url.hostname.replace(/^\[|\]$/g, '')) ? listAddresses() : [];
  if (room.length === 0) return [page];
  return room.map((address) => {
    url.hostname = address;
    return url.href;
  });
}

/** Whether only this computer reaches an address. */
function isLoopback(host: string): boolean {
  return host.startsWith('127.') || host === '::1' || host === 'localhost';
}

function listAddresses(): string[] {
  return Object.values(networkInterfaces())
    .flatMap((its) => its ?? [])
    .filter(({ internal, family }) => !internal && family === 'IPv4')
    .map(({ address }) => address);
}
