import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { Besieged, NETWORK_CASES } from './besieged.js';
import { exchange } from './exchange.js';
import { generateRequests, HOST } from './http.js';
import { readAnswers } from './read-answers.js';
import { must } from './target.js';

const besieged = new Besieged().use();

/** All that may be had: the files of the page. */
const FOLDER = fileURLToPath(new URL('../../dist/page/', import.meta.url));
const PAGE = readdirSync(FOLDER, { withFileTypes: true, recursive: true })
  .filter((entry) => entry.isFile())
  .map((entry) => readFileSync(join(entry.parentPath, entry.name)));
/** Ours, and those that Node's server gives by itself. */
const STATUSES = [100, 101, 200, 400, 403, 404, 405, 408, 413, 417, 426, 431, 501, 505];
const seen = new Map<number, number>();
afterAll(() =>
  console.log(
    `http: ${NETWORK_CASES} cases; ${[...seen]
      .sort()
      .map((pair) => pair.join(': '))
      .join(', ')}`,
  ),
);

/** Host and Origin as the first request of an input has them. */
function readFirst(text: string): { hosts: string[]; origins: string[] } {
  const end = text.indexOf('\r\n\r\n');
  const head = end < 0 ? text : text.slice(0, end);
  const find = (name: string) =>
    [...head.matchAll(new RegExp(`^${name}:[ \\t]*(.*?)[ \\t]*\\r?$`, 'gim'))].map(([, value]) => value);
  return { hosts: find('host'), origins: find('origin') };
}

test(`${NETWORK_CASES} connections full of HTTP get nothing but the page, and only from its own address`, async () => {
  await besieged.run('http', generateRequests, async (input) => {
    const text = Buffer.from(input).toString('latin1').replaceAll(HOST, besieged.page.host);
    const came = await exchange(besieged.place, Buffer.from(text, 'latin1'));
    const { answers } = readAnswers(came);
    must(came.length === 0 || answers.length > 0, () => `no HTTP: ${came.toString('latin1', 0, 100)}`);
    for (const { status, headers, body } of answers) {
      seen.set(status, (seen.get(status) ?? 0) + 1);
      must(STATUSES.includes(status), () => `status ${status}`);
      if (status === 200) {
        must(headers.get('x-content-type-options') === 'nosniff', () => 'without its headers');
        const isHealth = headers.get('content-type') === 'application/json' && body.length < 10_000;
        must(
          body.length === 0 || isHealth || PAGE.some((file) => file.equals(body)),
          () => `200 for ${body.toString('utf8', 0, 100)}`,
        );
      }
    }
    const first = answers.find(({ status }) => status !== 100)?.status;
    if (first !== 200 && first !== 101) return;
    const { hosts, origins } = readFirst(text);
    must(hosts[0]?.toLowerCase() === besieged.page.host, () => `${first} for the host ${hosts.join(' ')}`);
    const own = `http://${besieged.page.host}`;
    must(
      origins.every((origin) => origin.toLowerCase() === own),
      () => `${first} for ${origins.join(' ')}`,
    );
  });
  expect(
    NETWORK_CASES < 100 ||
      (seen.has(200) && seen.has(101) && seen.has(403) && seen.has(404) && seen.has(405)),
  ).toBe(true);
}, 3_600_000);
