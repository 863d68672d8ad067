import { mutateBytes } from './mutate-bytes.js';
import { toBytes } from './mutate-text.js';
import type { Random } from './random.js';

/** Stands for the server's own address, which differs from run to run. */
export const HOST = '@HOST@';

const METHODS = [
  ...'GET GET GET HEAD POST PUT DELETE OPTIONS TRACE CONNECT PATCH get'.split(' '),
  ...['G E T', 'PRI', ''],
];
const PATHS = [
  ...'/ /index.html /healthz /feed /healthz?x=1 // /. /.. /../secret.txt'.split(' '),
  ...'/../../../../etc/passwd /%2e%2e/%2e%2e/etc/passwd /..%2f..%2fetc/passwd /%252e%252e/'.split(' '),
  ...'/..\\..\\package.json /assets/../../package.json /assets/ /assets /%00 /index.html%00.js'.split(' '),
  ...'/index.html/ /INDEX.HTML /./index.html index.html *'.split(' '),
  '',
  ...'http://127.0.0.1/ http://evil.example/ /feed/ /feed#x /healthz/.. /__proto__'.split(' '),
  ...['/constructor', '/ HTTP/1.1 x', '/\ud83d\ude00', `/${'a'.repeat(3000)}`, `/${'../'.repeat(400)}`],
  `/?${'x'.repeat(9000)}`,
];
const HOSTS = [
  ...[HOST, HOST, HOST, HOST, 'evil.example', '127.0.0.1', 'localhost', `${HOST}.evil.example`],
  ...[`evil.example:80@${HOST}`, '', '[::1]', ' ', `${HOST}, evil.example`],
];
const HEADERS = [
  ...`Origin: http://evil.example | Origin: null | Origin: http://${HOST}`.split(' | '),
  ...`Origin: https://${HOST} | Accept-Encoding: gzip | Accept-Encoding: gzip;q=0, *`.split(' | '),
  ...'Content-Length: 5 | Content-Length: -1 | Content-Length: 99999999999999999999'.split(' | '),
  ...'Content-Length: 5\r\nContent-Length: 6 | Transfer-Encoding: chunked'.split(' | '),
  ...'Transfer-Encoding: chunked\r\nContent-Length: 3 | Transfer-Encoding: identity, chunked'.split(' | '),
  ...'Expect: 100-continue | Connection: keep-alive | Connection: close | Upgrade: websocket'.split(' | '),
  ...'Upgrade: h2c | Connection: Upgrade | Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ=='.split(' | '),
  ...'Sec-WebSocket-Key: x | Sec-WebSocket-Version: 13 | Sec-WebSocket-Version: 8'.split(' | '),
  ...'Sec-WebSocket-Extensions: permessage-deflate | Sec-WebSocket-Protocol: x'.split(' | '),
  ...['Range: bytes=0-'],
  ...'If-None-Match: * | Cookie: a=b | X: \0 | X:y | : y | X y: z |  folded: x | X\t: y'.split(' | '),
  ...`\x80\xff: \xfe | X: ${'y'.repeat(7000)} | X: ${'y'.repeat(20_000)} | Host: evil.example`.split(' | '),
];
const UPGRADE = `GET /feed HTTP/1.1\r\nHost: ${HOST}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n`;

/** One request or several behind each other, good, bad, or cut short. */
export function generateRequests(random: Random): Uint8Array {
  const requests = Array.from({ length: 1 + random.few(3) }, () =>
    random.oneIn(6) ? UPGRADE : generateRequest(random),
  );
  const bytes = toBytes(requests.join(''));
  if (random.oneIn(4)) return mutateBytes(random, bytes, toBytes(UPGRADE));
  return random.oneIn(10) ? bytes.subarray(0, random.below(bytes.length)) : bytes;
}

function generateRequest(random: Random): string {
  const version = random.oneIn(8)
    ? random.pick(['HTTP/1.0', 'HTTP/2.0', 'HTTP/9.9', 'HTP/1.1', ''])
    : 'HTTP/1.1';
  const method = random.oneIn(2) ? 'GET' : random.pick(METHODS);
  const lines = [`${method} ${random.pick(PATHS)} ${version}`];
  if (!random.oneIn(12)) lines.push(`Host: ${random.pick(HOSTS)}`);
  for (let more = random.few(6); more > 0; more--) lines.push(random.pick(HEADERS));
  const end = random.oneIn(30) ? random.pick(['\n', '\r', '\r\n ']) : '\r\n';
  const body = random.oneIn(5)
    ? random.pick(['hello', '5\r\nhello\r\n0\r\n\r\n', 'ffffffff\r\n', '-1\r\n'])
    : '';
  return `${lines.join(end)}${end}${end}${body}`;
}
