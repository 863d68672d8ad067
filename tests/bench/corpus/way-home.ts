import { makePump } from '../../../src/app/pump.js';
import { type MidiFile, parseMidiFile } from '../../../src/core/midi/index.js';
import type { Strategy } from '../../../src/core/tuner/index.js';
import { measureWayHome } from '../../support/way-home.js';

/** A diatonic loop of so many bars, a chord each, with the common notes tied: it drifts a comma every five. */
export function makeLoop(bars: number, secondsPerChord: number): MidiFile {
  const exercise = makePump({
    text: 'C Em Am Dm G',
    tonic: { keyClass: 0, fifths: 0 },
    voices: 4,
    passes: bars / 5,
    secondsPerChord,
    tied: true,
  });
  if (!exercise.ok) throw new Error(exercise.problem.message);
  return exercise.value.file;
}

const HEAD = [
  ...'piece | rule | drifting | cost open | cost home'.split(' | '),
  ...'returns | against held | widest return, c | widest step, c | farthest end, c'.split(' | '),
];

/** The head of a table of ways home, as Markdown. */
export function formatHomeHead(): string[] {
  const columns = HEAD.slice(2).map(() => '--:');
  return [`| ${HEAD.join(' | ')} |`, `|---|---|${columns.join('|')}|`];
}

/**
 * Pieces that are made to end where they began, as a row of it: how many would have drifted, what the plans cost, and the
 * widest moves that are heard beyond what the ratios of the open plan ask (see `measureWayHome`).
 *
 * Fails if one of them ends with a drift.
 */
export function formatHomeRow(title: string, strategy: Strategy, files: readonly Uint8Array[]): string {
  let drifting = 0;
  let [open, home, returns, held] = [0, 0, 0, 0];
  let [widestReturn, widestStep, farthest] = [0, 0, 0];
  for (const bytes of files) {
    const read = parseMidiFile(bytes);
    if (!read.ok) throw new Error(read.problem.message);
    const heard = measureWayHome(read.value.file, strategy);
    if (heard.drift !== 'none') throw new Error(`${title} ends with a drift: ${heard.drift}`);
    if (heard.openDrift !== 'none') drifting += 1;
    open += heard.open.ratios.cost;
    home += heard.home.ratios.cost;
    returns += heard.home.wayHome.returns.length;
    held += heard.home.wayHome.returns.filter((one) => one.held > 0).length;
    widestReturn = Math.max(widestReturn, heard.widestReturnCents);
    widestStep = Math.max(widestStep, heard.widestStepCents);
    farthest = Math.max(farthest, Math.abs(heard.fromHomeCents));
  }
  const cents = [widestReturn, widestStep, farthest].map((value) => value.toFixed(1));
  const cells = [title, strategy, drifting, open.toFixed(1), home.toFixed(1), returns, held, ...cents];
  return `| ${cells.join(' | ')} |`;
}
