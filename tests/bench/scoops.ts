import { parseArgs } from 'node:util';
import { PITCH_BEND } from '../../src/core/midi/index.js';
import { toBendCents } from '../../src/core/outlet/index.js';
import type { Strategy } from '../../src/core/tuner/index.js';
import { writePlace } from '../support/document.js';
import type { Received } from '../support/fake-devices.js';
import { Stage, stageSettings } from '../support/stage.js';
import { type Piece, readCorpora } from './corpus/pieces.js';
import { playByHand } from './hands/played.js';

/**
 * How many notes slide into tune: chorales whose chords are spread over up to 35 ms, played live over MPE, with and
 * without `wait`. Time is made up, so this measures no machine.
 *
 *     npm run bench:scoops -- FOLDER [--write]
 *
 * `--write` puts the table into the README of live playing.
 */
const {
  values: { write },
  positionals: [folder],
} = parseArgs({ allowPositionals: true, options: { write: { type: 'boolean', default: false } } });
if (folder === undefined) {
  console.error('Name the folder of corpora: npm run bench:scoops -- FOLDER --write');
  process.exit(2);
}
const WAITS_MS = [0, 5, 10, 15, 20];
/** A note that moves farther within so long of its attack is a scoop. */
const FAR_CENTS = 5;
const ATTACK_MS = 150;
const RANGE_SEMITONES = 48;

const pieces = readCorpora(folder).find(({ name }) => name === 'chorales')?.pieces ?? [];
const lines = ['| wait | free | anchored, held notes follow |', '|--:|--:|--:|'];
for (const waitMs of WAITS_MS) {
  const shares = (['free', 'anchored'] as const).map(
    (strategy) => `${measure(waitMs, strategy).toFixed(1)} %`,
  );
  lines.push(`| ${waitMs} ms | ${shares.join(' | ')} |`);
}
console.log(lines.join('\n'));
if (write)
  writePlace(new URL('../../../src/app/live/README.md', import.meta.url), 'scoops', lines.join('\n'));

/** The share of the notes that are scoops, in percent. */
function measure(waitMs: number, strategy: Strategy): number {
  let notes = 0;
  let scoops = 0;
  for (const piece of pieces) {
    const moves = toMoves(play(piece, waitMs, strategy));
    notes += moves.length;
    scoops += moves.filter((cents) => cents > FAR_CENTS).length;
  }
  return (100 * scoops) / notes;
}

function play(piece: Piece, waitMs: number, strategy: Strategy): readonly Received[] {
  const stage = new Stage(stageSettings({ waitMs }, { strategy }));
  stage.wait(1000);
  stage.synth.received.length = 0;
  const startMs = stage.nowMs;
  const messages = playByHand(piece, 'spread').notes.flatMap(({ written: { midi }, onMs, offMs }) => [
    { ms: offMs, bytes: [0x80, midi, 64] },
    { ms: onMs, bytes: [0x90, midi, 80] },
  ]);
  messages.sort((a, b) => a.ms - b.ms);
  for (const { ms, bytes } of messages) {
    stage.wait(Math.max(0, startMs + ms - stage.nowMs));
    stage.keys.feed(...bytes);
  }
  stage.wait(1000);
  return stage.synth.received;
}

/** How far each note has moved soon after its attack, in cents. */
function toMoves(received: readonly Received[]): number[] {
  const bends = new Array<number>(16).fill(8192);
  const notes: { readonly channel: number; readonly atMs: number; readonly start: number; now: number }[] =
    [];
  const open = new Map<number, (typeof notes)[number]>();
  for (const { sentMs, bytes } of received) {
    const [status, low, high] = bytes;
    const channel = status & 0x0f;
    const isOn = (status & 0xf0) === 0x90;
    if ((status & 0xf0) === PITCH_BEND) bends[channel] = low + 128 * high;
    const note = open.get(channel);
    if (note !== undefined && !isOn && sentMs <= note.atMs + ATTACK_MS) note.now = bends[channel];
    if (!isOn) continue;
    const begun = { channel, atMs: sentMs, start: bends[channel], now: bends[channel] };
    notes.push(begun);
    open.set(channel, begun);
  }
  const toCents = (bend: number) => toBendCents(bend, RANGE_SEMITONES);
  return notes.map(({ start, now }) => Math.abs(toCents(now) - toCents(start)));
}
