import { readdirSync, readFileSync } from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { extname, join, relative, sep } from 'node:path';
import { gzipSync } from 'node:zlib';
import { LeewayError } from '../leeway-error.js';
import type { Refusal } from './origin-check.js';

/** The page may use only its own files and its own feed. */
export const PAGE_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data: blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.woff2': 'font/woff2',
};

/** Headers of every answer. */
export const COMMON_HEADERS: Readonly<Record<string, string>> = {
  'Cache-Control': 'no-store',
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Content-Security-Policy': PAGE_POLICY,
};

interface PageFile {
  readonly type: string;
  readonly plain: Buffer;
  readonly packed: Buffer;
}

/**
 * The files of the page, read once when the server starts. A request names one of them or nothing: no path is ever
 * built from a request.
 */
export class PageFiles {
  readonly #files: ReadonlyMap<string, PageFile>;

  /** @param folder the built page; throws a LeewayError, PAGE_MISSING, if it isn't there */
  constructor(folder: string) {
    const files = new Map<string, PageFile>();
    for (const path of listFiles(folder)) {
      const plain = readFileSync(path);
      const name = `/${relative(folder, path).split(sep).join('/')}`;
      const type = TYPES[extname(path)] ?? 'application/octet-stream';
      files.set(name, { type, plain, packed: gzipSync(plain, { level: 9 }) });
    }
    const index = files.get('/index.html');
    if (index === undefined) throw missing(folder);
    files.set('/', index);
    this.#files = files;
  }

  /** Answers a request, or refuses it. */
  answer(path: string, request: IncomingMessage, response: ServerResponse): Refusal | undefined {
    const file = this.#files.get(path);
    if (file === undefined) return { status: 404, text: 'There is nothing here. The page is at /.' };
    const isPacked = /\bgzip\b/.test(String(request.headers['accept-encoding'] ?? ''));
    const body = isPacked ? file.packed : file.plain;
    response.writeHead(200, {
      ...COMMON_HEADERS,
      'Content-Type': file.type,
      'Content-Length': body.length,
      Vary: 'Accept-Encoding',
      ...(isPacked ? { 'Content-Encoding': 'gzip' } : {}),
    });
    response.end(request.method === 'HEAD' ? undefined : body);
    return undefined;
  }
}

function listFiles(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true, recursive: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name));
  } catch (cause) {
    throw missing(folder, cause);
  }
}

function missing(folder: string, cause?: unknown): LeewayError {
  return new LeewayError(
    {
      code: 'PAGE_MISSING',
      message: `The page isn't built: there is no index.html in ${folder}.`,
      advice: 'Run npm run build in the folder of Leeway.',
    },
    { cause },
  );
}
