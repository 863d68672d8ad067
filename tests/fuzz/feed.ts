import type { WebSocket } from 'ws';
import type { Outcome } from '../../src/core/outcome.js';
import {
  type Downstream,
  formatMessage,
  LIMITS,
  parseDownstream,
  parseUpstream,
} from '../../src/core/protocol/index.js';
import { MessageHandler } from '../../src/io/server/message-handler.js';
import type { FromServer } from '../../src/io/server/protocol.js';
import { Viewer } from '../../src/io/server/viewer.js';
import { mutateText, toBytes, toText } from './mutate-text.js';
import type { Random } from './random.js';
import { must, type Target } from './target.js';

const TOKEN = 'the token of this session, which nobody guesses';
/** Codes a viewer may be told; `refused` of src/core/protocol/README.md. */
const REFUSALS = 'MALFORMED NO_TOKEN WRONG_TOKEN TOO_FAST TOO_LARGE UNKNOWN_PIECE BAD_FILE'.split(' ');

const MESSAGES: readonly object[] = [
  { type: 'hello', version: 3 },
  { type: 'hello', version: 3, token: TOKEN },
  { type: 'hello', version: 3, token: 'x' },
  { type: 'hello', version: 1 },
  { type: 'play', act: 'on', key: 60, velocity: 80 },
  { type: 'play', act: 'off', key: 60 },
  { type: 'play', act: 'sustain', down: true },
  { type: 'play', act: 'all-off' },
  { type: 'control', what: 'strategy', value: 'pull' },
  { type: 'control', what: 'leeway', strategy: 'pull', value: 4 },
  { type: 'control', what: 'rate', value: 3.5 },
  { type: 'control', what: 'recall', value: 12 },
  { type: 'control', what: 'limit', value: 7 },
  { type: 'control', what: 'home', value: 'just' },
  { type: 'control', what: 'tonic', value: 'Bb' },
  { type: 'control', what: 'a4', value: 415 },
  { type: 'control', what: 'hear', value: 'equal' },
  { type: 'control', what: 'home-now' },
  { type: 'piece', act: 'start', name: 'choir', tempo: 1, loop: true },
  { type: 'piece', act: 'stop' },
  {
    type: 'piece',
    act: 'file',
    upload: 1,
    name: 'a.mid',
    bytes: 26,
    part: 0,
    parts: 1,
    data: 'TVRoZAAAAAYAAAABAGBNVHJrAAAABAD/LwA=',
  },
  { type: 'rights', mayControl: true },
  { type: 'notice', level: 'info', text: 'A line.' },
  { type: 'refused', code: 'MALFORMED', text: 'No.' },
  { type: 'taken', upload: 1, part: 0 },
];
const VALUES: readonly unknown[] = [
  ...[
    null,
    true,
    '',
    'x',
    0,
    -1,
    0.5,
    127,
    128,
    1e300,
    -0,
    [],
    {},
    [[]],
    'free',
    'equal',
    'C',
    '\0',
    '\ud800',
  ],
  ...['é'.repeat(100), 'A'.repeat(4000), 'TVRoZA=='],
];
const WORDS = [
  ...'{ } [ ] : , " \\ \\u0000 \\ud800 null true 1e999 - "type" "__proto__" "act" "what" "value"'.split(' '),
  ...['"key"', '\ufeff', ' ', '\n'],
];

/**
 * Messages of a viewer, one a line, to a server's message handler; and each as if it came from a server. Nothing is thrown, every
 * message is either understood whole or refused with a code, what is answered is bounded and a message of the feed, and
 * nothing is handed on to the session before the right token came.
 */
export const feed: Target = {
  name: 'feed',
  share: 120,
  first: MESSAGES.map((message) => toBytes(JSON.stringify(message))),
  generate(random, known) {
    const lines = Array.from({ length: 1 + random.few(5) }, () =>
      random.oneIn(3)
        ? toText(mutateText(random, random.pick(known), random.pick(known), WORDS))
        : JSON.stringify(mutateMessage(random, random.pick(MESSAGES))),
    );
    return toBytes(lines.join('\n'));
  },
  check(input) {
    const lines = toText(input).split('\n');
    const ways = lines.flatMap((line) => [toWay(parseUpstream(line)), toWay(parseDownstream(line))]);
    const told: FromServer[] = [];
    const sent: Downstream[] = [];
    let isClosed = false;
    const socket = {
      bufferedAmount: 0,
      send(text: string) {
        must(text.length <= LIMITS.text + 100, () => `an answer of ${text.length} characters`);
        const parsed = parseDownstream(text);
        must(parsed.ok, () => `an answer that is no message: ${text}`);
        sent.push(parsed.value);
      },
      close() {
        isClosed = true;
      },
    };
    const viewer = new Viewer(1, socket as unknown as WebSocket);
    let nowMs = 0;
    const handler = new MessageHandler(TOKEN, { now: () => nowMs, tell: (message) => told.push(message) });
    for (const line of lines) {
      const before = told.length + sent.length;
      nowMs += 10;
      handler.hear(viewer, line);
      const isOwner = lines.some((one) => one.includes(TOKEN));
      must(told.length === 0 || (isOwner && viewer.mayControl), () => `an order without the token: ${line}`);
      must(told.length + sent.length > before || isClosed, () => `neither answered nor handed on: ${line}`);
    }
    const codes = sent.flatMap((one) => (one.type === 'refused' ? [one.code] : []));
    must(
      codes.every((code) => REFUSALS.includes(code)),
      () => codes.join(' '),
    );
    return [...new Set([...ways, ...codes, ...told.map(({ kind }) => kind)])].sort().slice(0, 4).join(' ');
  },
};

function toWay(outcome: Outcome<{ readonly type: string }>): string {
  if (outcome.ok) {
    must(
      JSON.stringify(outcome.value) === JSON.stringify(JSON.parse(formatMessage(outcome.value as never))),
      () => 'not the same written',
    );
    return outcome.value.type;
  }
  const { code, message } = outcome.problem;
  must(/^FEED_(LONG|JSON|SHAPE)$/.test(code) && message.length <= LIMITS.text, () => `${code} ${message}`);
  return code === 'FEED_SHAPE' ? message.split(':')[0].slice(0, 30) : code;
}

/** Fields changed, left out, and put in. */
function mutateMessage(random: Random, message: object): unknown {
  const fields: Record<string, unknown> = { ...message };
  const names = Object.keys(fields);
  for (let changes = random.few(3); changes > 0; changes--) {
    const name = random.pick(names);
    if (random.oneIn(4)) delete fields[name];
    else if (random.oneIn(3))
      Object.assign(fields, {
        [random.pick(['x', 'value', 'key', 'token', 'toString'])]: random.pick(VALUES),
      });
    else fields[name] = random.oneIn(3) ? { [name]: fields[name] } : random.pick(VALUES);
  }
  return random.oneIn(40) ? [fields] : fields;
}
