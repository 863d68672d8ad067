import { isIPv6 } from 'node:net';
import { networkInterfaces } from 'node:os';

/** Addresses that stand for all of a computer's. */
const EVERYWHERE = ['0.0.0.0', '::'];

/**
 * The page's address for whoever plays, and those for whoever looks, where the room may.
 * @example toPageAddresses('127.0.0.1', 8180, 'abc').own  // 'http://127.0.0.1:8180/#token=abc'
 */
export function toPageAddresses(
  address: string,
  port: number,
  token: string,
): { own: string; room: readonly string[] } {
  const at = (host: string) => `http://${isIPv6(host) ? `[${host}]` : host}:${port}/`;
  const isEverywhere = EVERYWHERE.includes(address);
  const isOwn = address.startsWith('127.') || address === '::1' || address === 'localhost';
  const own = `${at(isEverywhere ? '127.0.0.1' : address)}#token=${token}`;
  if (isOwn) return { own, room: [] };
  return { own, room: (isEverywhere ? listAddresses() : [address]).map(at) };
}

function listAddresses(): string[] {
  return Object.values(networkInterfaces())
    .flatMap((its) => its ?? [])
    .filter(({ internal, family }) => !internal && family === 'IPv4')
    .map(({ address }) => address);
}
