import { mkdtemp, rm } from 'node:fs/promises';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { PageFiles } from '../../../src/io/server/page-files.js';
import { FeedStage, writePage } from '../../support/feed-stage.js';

let folder: string;
let stage: FeedStage;

interface Answer {
  status: number | undefined;
  headers: NodeJS.Dict<string | string[]>;
  body: Buffer;
}

/** Asks with a path as it stands: nothing is tidied on the way. */
function ask(path: string, headers: NodeJS.Dict<string> = {}, method = 'GET'): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const one = request(
      { host: '127.0.0.1', port: stage.port, path, method, headers, agent: false },
      (response) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () =>
          resolve({ status: response.statusCode, headers: response.headers, body: Buffer.concat(chunks) }),
        );
      },
    );
    one.on('error', reject);
    one.end();
  });
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'leeway-test-'));
  stage = await new FeedStage(writePage(folder)).open();
});
afterAll(async () => {
  await stage.close();
  await rm(folder, { recursive: true });
});

describe('the files of the page', () => {
  test('have the page at /, which forbids everything that it does not use', async () => {
    const { status, headers, body } = await ask('/');
    expect(status).toBe(200);
    expect(String(body)).toBe('<!doctype html><title>Leeway</title>');
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
    expect(headers['cache-control']).toBe('no-store');
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['x-frame-options']).toBe('DENY');
    const policy = String(headers['content-security-policy']).split('; ');
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy.join()).not.toMatch(/unsafe|\*|https?:/);
  });

  test('have scripts with their type, compressed for clients that accept it', async () => {
    const plain = await ask('/assets/main.js?v=1');
    expect(plain.headers['content-type']).toBe('text/javascript; charset=utf-8');
    expect(plain.headers['content-encoding']).toBeUndefined();
    const packed = await ask('/assets/main.js', { 'accept-encoding': 'gzip, br' });
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(packed.body.length).toBeLessThan(plain.body.length);
    expect(gunzipSync(packed.body)).toEqual(plain.body);
    const head = await ask('/assets/main.js', {}, 'HEAD');
    expect([head.status, head.body.length]).toEqual([200, 0]);
  });

  test.each([
    '/../secret.txt',
    '/assets/../../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/assets/..%5c..%5csecret.txt',
    '//secret.txt',
    '/assets',
    '/assets/',
    '/index.html%00.js',
    '/__proto__',
    'http://127.0.0.1/secret.txt',
  ])('have nothing else: %s', async (path) => {
    const { status, body } = await ask(path);
    expect(status).toBe(404);
    expect(String(body)).not.toContain('nobody may read this');
  });

  test.each(['POST', 'PUT', 'DELETE', 'OPTIONS'])('cannot be changed by %s', async (method) => {
    expect((await ask('/', {}, method)).status).toBe(405);
  });

  test('are refused to a wrong Host or Origin, whatever is asked for', async () => {
    for (const path of ['/', '/healthz', '/feed']) {
      expect((await ask(path, { host: 'evil.example' })).status).toBe(403);
      expect((await ask(path, { origin: 'http://evil.example' })).status).toBe(403);
    }
  });

  test('have JSON at /healthz', async () => {
    const { status, headers, body } = await ask('/healthz');
    expect(status).toBe(200);
    expect(headers['content-type']).toBe('application/json');
    expect(JSON.parse(String(body))).toMatchObject({
      status: 'ok',
      version: '0.0.1',
      server: { viewers: 0 },
    });
  });

  test("are an error with the next step where the page isn't built", () => {
    const open = () => new PageFiles(join(folder, 'nowhere'));
    expect(open).toThrow(LeewayError);
    expect(open).toThrow(/isn't built/);
  });
});
