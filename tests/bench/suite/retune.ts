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
import { amount, ratio, tellFigures } from './figure.js';

/** Retuning a made file of a million events against reading and writing it, each in a process of its own, in turn. */
const SELF = fileURLToPath(import.meta.url);
const EVENTS = 1_000_000;
const ROUNDS = 3;
const [mode, path = ''] = process.argv.slice(2);
if (mode === 'bare' || mode === 'retune') runBigFile();
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
    const ratios = rounds.map(({ bare, full }) => full.seconds / bare.seconds);
    const peak = Math.max(...rounds.map(({ full }) => full.megabytes));
    tellFigures([
      ratio('retune/bare', 'retune of a million events ÷ bare read and write', toMedian(ratios), 4),
      amount('retune/peak', 'its peak memory', peak, 'MB', 600),
    ]);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function measureChild(what: string, big: string): { seconds: number; megabytes: number } {
  const child = spawnSync(process.execPath, [SELF, what, big], { encoding: 'utf8' });
  if (child.status !== 0) throw new Error(child.stderr);
  return JSON.parse(child.stdout) as { seconds: number; megabytes: number };
}

function runBigFile(): void {
  const from = process.hrtime.bigint();
  const read = parseMidiFile(new Uint8Array(readFileSync(path)));
  if (!read.ok) throw new Error(read.problem.message);
  const settings = toSettings({});
  const file =
    mode === 'bare'
      ? read.value.file
      : retune(read.value.file, { settings, outlet: { kind: 'mpe', bendRange: undefined } }).file;
  writeFileSync(`${path}.out`, formatMidiFile(file));
  const seconds = Number(process.hrtime.bigint() - from) / 1e9;
  console.log(JSON.stringify({ seconds, megabytes: process.resourceUsage().maxRSS / 1024 }));
}
