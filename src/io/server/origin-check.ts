import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';

/** Addresses that only this computer reaches. */
const LOOPBACK = ['127.0.0.1', '::1', 'localhost'];
/** Addresses that mean every address of this computer. */
const EVERYWHERE = ['0.0.0.0', '::'];

/** Why a request is refused, as an HTTP status and a sentence. */
export interface Refusal {
  readonly status: 400 | 403 | 404 | 405 | 429;
  readonly text: string;
}

/**
 * Decides where requests may come from. Another site's page must not reach the server through the player's browser:
 * neither by a name that resolves here (the Host would be that name) nor by a socket from its own origin.
 */
export class OriginCheck {
  readonly #hosts: ReadonlySet<string>;
  readonly #takesAddresses: boolean;
  readonly #port: number;

  /** @param address what the server listens on */
  constructor(address: string, port: number) {
    this.#hosts = new Set([...LOOPBACK, address]);
    this.#takesAddresses = EVERYWHERE.includes(address);
    this.#port = port;
  }

  /** Checks Host, and Origin where there is one: programs other than browsers send none. */
  check({ headers }: Pick<IncomingMessage, 'headers'>): Refusal | undefined {
    const { host, origin } = headers;
    if (host === undefined || !this.#isOurs(host)) {
      return { status: 403, text: 'Leeway is not called that. Use the address it printed.' };
    }
    if (origin !== undefined && origin.toLowerCase() !== `http://${host.toLowerCase()}`) {
      return { status: 403, text: 'Only the page that Leeway serves may connect to it.' };
    }
    return undefined;
  }

  #isOurs(host: string): boolean {
    const parts = /^(\[[0-9a-f:.]+\]|[^:[\]]+)(?::(\d{1,5}))?$/i.exec(host);
    if (parts === null || Number(parts[2] ?? 80) !== this.#port) return false;
    const name = parts[1].replace(/^\[|\]$/g, '').toLowerCase();
    // A name can resolve to any computer, an address can't.
    return this.#hosts.has(name) || (this.#takesAddresses && isIP(name) !== 0);
  }
}

/** Whether two tokens are equal, in a time that doesn't depend on where they differ. */
export function isSameToken(given: string, token: string): boolean {
  return timingSafeEqual(digest(given), digest(token));
}

function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
