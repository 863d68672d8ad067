import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Downstream,
  FEED_VERSION,
  formatMessage,
  LIMITS,
  parseDownstream,
  parseUpstream,
  type Upstream,
} from '../../../src/core/protocol/index.js';
import { forAll } from '../../support/properties.js';

const FILE = { type: 'piece', act: 'file', upload: 1, name: 'a.mid', bytes: 3, part: 0, parts: 1 } as const;

const ORDERS: Upstream[] = [
  { type: 'hello', version: FEED_VERSION },
  { type: 'hello', version: FEED_VERSION, token: 'x'.repeat(LIMITS.token) },
  { type: 'play', act: 'on', key: 0, velocity: 1 },
  { type: 'play', act: 'on', key: 127, velocity: 127 },
  { type: 'play', act: 'off', key: 60 },
  { type: 'play', act: 'sustain', down: true },
  { type: 'play', act: 'all-off' },
  { type: 'control', what: 'hear', value: 'pull' },
  { type: 'control', what: 'leeway', strategy: 'anchored', value: 0 },
  { type: 'control', what: 'rate', value: 100 },
  { type: 'control', what: 'held', value: 'stay' },
  { type: 'control', what: 'limit', value: 7 },
  { type: 'control', what: 'home', value: 'meantone' },
  { type: 'control', what: 'tonic', value: 'F#' },
  { type: 'control', what: 'tonic', value: 'E♭' },
  { type: 'control', what: 'a4', value: 415.3 },
  { type: 'control', what: 'recall', value: 21.5 },
  { type: 'control', what: 'strike-window', value: 30 },
  { type: 'control', what: 'hear', value: 'equal' },
  { type: 'piece', act: 'pump', formula: 'I vi ii V', tempo: 1 },
  { type: 'piece', act: 'pause', value: true },
  { type: 'piece', act: 'chord', value: -1 },
  { type: 'piece', act: 'seek', pass: 3, value: 1250.5 },
  { type: 'piece', act: 'stretch', value: { fromMs: 0, toMs: 4000 } },
  { type: 'piece', act: 'stretch', value: null },
  { type: 'piece', act: 'start-over' },
  { type: 'stage', act: 'view', value: 'curve' },
  { type: 'stage', act: 'only', value: ['free', 'equal'] },
  { type: 'stage', act: 'point', value: { at: 'chord', x: 0.25, y: 1 } },
  { type: 'stage', act: 'point', value: null },
  { type: 'story', act: 'open', name: 'a story' },
  { type: 'story', act: 'next' },
  { type: 'story', act: 'back' },
  { type: 'story', act: 'close' },
  { type: 'control', what: 'home-now' },
  { type: 'control', what: 'home-next' },
  { type: 'control', what: 'panic' },
  { type: 'piece', act: 'start', name: 'choir-warm-up', tempo: 1, loop: true },
  { type: 'piece', act: 'stop' },
  { type: 'piece', act: 'tempo', value: 0.5 },
  { type: 'piece', act: 'loop', value: false },
  { ...FILE, data: 'TVRo' },
  { ...FILE, bytes: 1, data: 'TQ==' },
];

const REFUSED: [string, unknown, string][] = [
  ['no object', 3, 'FEED_SHAPE'],
  ['null', null, 'FEED_SHAPE'],
  ['a list', [], 'FEED_SHAPE'],
  ['no type', {}, 'FEED_SHAPE'],
  ['a type of the other direction', { type: 'frame' }, 'FEED_SHAPE'],
  ['a key beyond the keyboard', { type: 'play', act: 'on', key: 128, velocity: 80 }, 'FEED_SHAPE'],
  ['half a key', { type: 'play', act: 'on', key: 60.5, velocity: 80 }, 'FEED_SHAPE'],
  ['a note-on with velocity 0', { type: 'play', act: 'on', key: 60, velocity: 0 }, 'FEED_SHAPE'],
  ['a key as text', { type: 'play', act: 'off', key: '60' }, 'FEED_SHAPE'],
  ['a field too many', { type: 'play', act: 'all-off', now: true }, 'FEED_SHAPE'],
  ['an unknown tuning', { type: 'control', what: 'hear', value: 'drop' }, 'FEED_SHAPE'],
  ['a strategy that is set', { type: 'control', what: 'strategy', value: 'pull' }, 'FEED_SHAPE'],
  ['a leap over chords', { type: 'piece', act: 'chord', value: 2 }, 'FEED_SHAPE'],
  ['pass 0', { type: 'piece', act: 'seek', pass: 0, value: 0 }, 'FEED_SHAPE'],
  ['a pointer outside', { type: 'stage', act: 'point', value: { at: 'curve', x: 1.1, y: 0 } }, 'FEED_SHAPE'],
  ['a leeway for free', { type: 'control', what: 'leeway', strategy: 'free', value: 3 }, 'FEED_SHAPE'],
  ['a leeway below 0', { type: 'control', what: 'leeway', strategy: 'pull', value: -1 }, 'FEED_SHAPE'],
  ['a recall beyond its bound', { type: 'control', what: 'recall', value: 50.5 }, 'FEED_SHAPE'],
  ['a limit between', { type: 'control', what: 'limit', value: 6 }, 'FEED_SHAPE'],
  ['a tonic that is none', { type: 'control', what: 'tonic', value: 'H' }, 'FEED_SHAPE'],
  ['an A out of reach', { type: 'control', what: 'a4', value: 1e300 }, 'FEED_SHAPE'],
  ['a piece without a name', { type: 'piece', act: 'start', name: '', tempo: 1, loop: true }, 'FEED_SHAPE'],
  ['a tempo of 0', { type: 'piece', act: 'tempo', value: 0 }, 'FEED_SHAPE'],
  ['data that is no base64', { ...FILE, data: 'TVR!' }, 'FEED_SHAPE'],
  ['padding inside the data', { ...FILE, data: 'TQ==TVRo' }, 'FEED_SHAPE'],
  ['a file that is too large', { ...FILE, bytes: LIMITS.fileBytes + 1, data: 'TVRo' }, 'FEED_SHAPE'],
  ['a token that is too long', { type: 'hello', version: 1, token: 'x'.repeat(129) }, 'FEED_SHAPE'],
];

function codeOf(outcome: ReturnType<typeof parseUpstream>): string {
  return outcome.ok ? 'taken' : outcome.problem.code;
}

describe('parseUpstream', () => {
  test.each(ORDERS)('takes %j and gives it back unchanged', (order) => {
    expect(parseUpstream(formatMessage(order))).toEqual({ ok: true, value: order });
  });

  test.each(REFUSED)('refuses %s', (_what, message, code) => {
    expect(codeOf(parseUpstream(JSON.stringify(message)))).toBe(code);
  });

  test('refuses what is no JSON', () => expect(codeOf(parseUpstream('{"type":'))).toBe('FEED_JSON'));

  test('counts bytes, not characters', () => {
    const padded = (letters: string) => JSON.stringify({ type: 'hello', version: 1, token: letters });
    expect(codeOf(parseUpstream(padded('x'.repeat(LIMITS.upstreamBytes))))).toBe('FEED_LONG');
    // 2 000 characters, 6 000 bytes; and as many characters that are a byte each.
    expect(codeOf(parseUpstream(padded('♭'.repeat(2000))))).toBe('FEED_LONG');
    expect(codeOf(parseUpstream(padded('x'.repeat(2000))))).toBe('FEED_SHAPE');
  });

  test('takes the longest part of a file with the longest name', () => {
    const data = 'A'.repeat((LIMITS.filePartBytes / 3) * 4);
    const name = '♭'.repeat(LIMITS.name);
    const order: Upstream = {
      ...FILE,
      upload: 1e12,
      bytes: LIMITS.fileBytes,
      part: 388,
      parts: 389,
      name,
      data,
    };
    expect(parseUpstream(formatMessage(order)).ok).toBe(true);
  });

  test('names the wrong field', () => {
    const outcome = parseUpstream('{"type":"play","act":"on","key":200,"velocity":80}');
    expect(outcome.ok || outcome.problem.message).toMatch(/^key: /);
  });

  test('never throws, and never takes what is not in the list', () => {
    forAll([fc.json({ maxDepth: 4 })], (text) => {
      expect(parseUpstream(text).ok).toBe(false);
      expect(parseDownstream(text).ok).toBe(false);
    });
  });

  test('refuses a message with one broken field, or takes it as another known message', () => {
    const spoiler = fc.oneof(
      fc.constant(Number.NaN),
      fc.double(),
      fc.string(),
      fc.constant(null),
      fc.boolean(),
      fc.constant({}),
    );
    forAll([fc.constantFrom(...ORDERS), fc.nat(9), spoiler], (order, at, spoilt) => {
      const fields = Object.keys(order);
      const text = JSON.stringify({ ...order, [fields[at % fields.length]]: spoilt });
      const outcome = parseUpstream(text);
      if (outcome.ok) expect(parseUpstream(formatMessage(outcome.value))).toEqual(outcome);
    });
  });
});

describe('parseDownstream', () => {
  const said: Downstream[] = [
    { type: 'rights', mayControl: true },
    { type: 'notice', level: 'warning', text: 'The synth was unplugged. Plug it in again.' },
    { type: 'refused', code: 'NO_TOKEN', text: 'Only who holds the token may play.' },
    { type: 'taken', upload: 7, part: 0 },
  ];

  test.each(said)('takes %j', (message) => {
    expect(parseDownstream(formatMessage(message))).toEqual({ ok: true, value: message });
  });

  test('leaves out unknown fields, so that a newer server can be watched', () => {
    const outcome = parseDownstream('{"type":"rights","mayControl":true,"until":"noon"}');
    expect(outcome).toEqual({ ok: true, value: { type: 'rights', mayControl: true } });
  });

  test('refuses a text over its bound', () => {
    const text = 'x'.repeat(LIMITS.text + 1);
    expect(codeOf(parseUpstream(JSON.stringify({ type: 'notice', level: 'info', text })))).toBe('FEED_SHAPE');
    expect(parseDownstream(JSON.stringify({ type: 'notice', level: 'info', text })).ok).toBe(false);
  });
});

test('the bound of a feed message counts bytes of UTF-8, of two, three and four each', () => {
  const codeOf = (text: string) => {
    const parsed = parseUpstream(JSON.stringify(text));
    return parsed.ok ? 'read' : parsed.problem.code;
  };
  // Two quotation marks, and 4 094 bytes of é, € and the clef 𝄞.
  const room = LIMITS.upstreamBytes - 2;
  for (const [letter, bytes] of [
    ['é', 2],
    ['€', 3],
    ['𝄞', 4],
  ] as const) {
    const fits = letter.repeat(Math.floor(room / bytes)) + 'x'.repeat(room % bytes);
    expect(new TextEncoder().encode(JSON.stringify(fits)).length).toBe(LIMITS.upstreamBytes);
    expect(codeOf(fits)).toBe('FEED_SHAPE');
    expect(codeOf(`${fits}x`)).toBe('FEED_LONG');
  }
});
