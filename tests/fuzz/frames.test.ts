import { afterAll, expect, test } from 'vitest';
import { parseDownstream } from '../../src/core/protocol/index.js';
import { Besieged, NETWORK_CASES } from './besieged.js';
import { exchange } from './exchange.js';
import { FORBIDDEN_KEY, generateFrames } from './frames.js';
import { readAnswers, readFrames, type ServerFrame } from './read-answers.js';
import { must } from './target.js';

const besieged = new Besieged().use();
const seen = new Map<string, number>();
const count = (what: string) => seen.set(what, (seen.get(what) ?? 0) + 1);
afterAll(() =>
  console.log(
    `frames: ${NETWORK_CASES} cases; ${[...seen]
      .sort()
      .map((pair) => pair.join(': '))
      .join(', ')}`,
  ),
);

/** What a server may send: whole, unmasked, without reserved bits; RFC 6455, 5. */
function checkFrame({ first, second, data }: ServerFrame): void {
  const opcode = first & 0x0f;
  must((first & 0xf0) === 0x80 && (second & 0x80) === 0, () => `a frame that begins with ${first} ${second}`);
  must([1, 8, 9, 10].includes(opcode), () => `opcode ${opcode}`);
  must(opcode < 8 || data.length <= 125, () => `a control frame of ${data.length} bytes`);
  if (opcode === 1) {
    const parsed = parseDownstream(data.toString());
    must(parsed.ok, () => `no message of the feed: ${data.toString('utf8', 0, 200)}`);
    const { value } = parsed;
    must(value.type !== 'rights' || !value.mayControl, () => 'rights without the token');
    count(value.type === 'refused' ? value.code : value.type);
  } else if (opcode === 8 && data.length > 0) {
    const code = data.readUInt16BE(0);
    const isOne =
      (code >= 1000 && code <= 1014 && ![1004, 1005, 1006].includes(code)) || (code >= 3000 && code <= 4999);
    must(isOne, () => `close code ${code}`);
    count(`close ${code}`);
  }
}

test(`${NETWORK_CASES} connections full of WebSocket frames change nothing without the token`, async () => {
  const { page, good } = besieged;
  const upgrade = `GET /feed HTTP/1.1\r\nHost: ${page.host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n`;
  const settings = JSON.stringify(good.of('snapshot')[0].settings);
  await besieged.run('frames', generateFrames, async (input) => {
    const { answers, rest } = readAnswers(await exchange(besieged.place, input, upgrade));
    must(answers.length === 1 && answers[0].status === 101, () => 'no handshake');
    for (const frame of readFrames(rest)) checkFrame(frame);
  });
  const struck = good.of('frame').filter(({ notes }) => notes.some(({ key }) => key >= FORBIDDEN_KEY));
  expect(struck).toEqual([]);
  expect(good.of('settings').filter((one) => JSON.stringify(one.settings) !== settings)).toEqual([]);
  expect(
    NETWORK_CASES < 100 || (seen.has('MALFORMED') && seen.has('NO_TOKEN') && seen.has('close 1002')),
  ).toBe(true);
}, 3_600_000);
