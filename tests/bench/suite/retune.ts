import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { retune } from '../../../src/app/retune.js';
import { formatMidiFile, parseMidiFile } from '../../../src/core/midi/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { makeBigFile } from '../big-file.js';
import { toMedian } from '../median.js';
import { makeNoisyFile } from '../noisy-file.js';
import { amount, ratio, tellFigures } from './figure.js';

/**
 * Retuning a made file of a million events against reading and writing it, each in a process of its own, in turn; and a
 * noisy file whose pedals hold very many notes at once.
 */
const SELF = fileURLToPath(import.meta.url);
const EVENTS = 1_000_000;
const ROUNDS = 3;
const NOISY_NOTES = 400_000;
const NOISY_HELD = 2000;
const NOISY_BUDGET_SECONDS = 60;
/** A retuning that isn't done by then is ended, and told as if it had been. */
const ENDED_SECONDS = 120;
const [mode, path = ''] = process.argv.slice(2);
if (mode === 'bare' || mode === 'retune') runFile();
else compare();

function compare(): void {
  const folder = mkdtempSync(join(tmpdir(), 'leeway-bench-'));
  try {
    const big = join(folder, 'big.mid');
    writeFileSync(big, formatMidiFile(makeBigFile(EVENTS)));
    const rounds = Array.from({ length: ROUNDS }, () => ({
      bare: measureChild('bare', big),
      full: measureChild('retune', big),
    }));
    const noisy = join(folder, 'noisy.mid');
    writeFileSync(noisy, formatMidiFile(makeNoisyFile(NOISY_NOTES, NOISY_HELD)));
    const noisySeconds = measureChild('retune', noisy).seconds;
    const ratios = rounds.map(({ bare, full }) => full.seconds / bare.seconds);
    const peak = Math.max(...rounds.map(({ full }) => full.megabytes));
    tellFigures([
      ratio('retune/bare', 'retune of a million events ÷ bare read and write', toMedian(ratios), 4),
      amount('retune/peak', 'its peak memory', peak, 'MB', 600),
      amount(
        'retune/noisy',
        `retune of ${NOISY_NOTES} notes, up to ${NOISY_HELD} of them held by pedals`,
        1000 * noisySeconds,
        'ms',
        1000 * NOISY_BUDGET_SECONDS,
      ),
    ]);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function measureChild(what: string, path: string): { seconds: number; megabytes: number } {
  const child = spawnSync(process.execPath, [SELF, what, path], {
    encoding: 'utf8',
    timeout: 1000 * ENDED_SECONDS,
  });
  if (child.signal !== null) return { seconds: ENDED_SECONDS, megabytes: Number.NaN };
  if (child.status !== 0) throw new Error(child.stderr);
  return JSON.parse(child.stdout) as { seconds: number; megabytes: number };
}

function runFile(): void {
  const from = process.hrtime.bigint();
  const read = parseMidiFile(new Uint8Array(readFileSync(path)));
  if (!read.ok) throw new Error(read.problem.message);
  const settings = toSettings({});
  const file =
    mode === 'bare'
      ? read.value.file
      : retune(read.value.file, { settings, outlet: { kind: 'mpe', bendRange: undefined }, plan: 'live' })
          .file;
  writeFileSync(`${path}.out`, formatMidiFile(file));
  const seconds = Number(process.hrtime.bigint() - from) / 1e9;
  console.log(JSON.stringify({ seconds, megabytes: process.resourceUsage().maxRSS / 1024 }));
}
