import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { formatMidiFile } from '../../../src/core/midi/index.js';
import { makeBigFile } from '../big-file.js';
import { toMedian } from '../median.js';
import { type CodecRun, LIBRARIES, type Library } from './codec-libraries.js';
import { type Figure, ratio, tellFigures } from './figure.js';

/**
 * Reading and writing MIDI files against general libraries for that: the same file of a million events for all, each in a
 * process of its own, in turn, and all must have read the same notes. `midi-file` takes minutes to write a million events
 * (its time grows with the square of the length of a track): it writes 40 000, against ours of 40 000.
 */
const READER = fileURLToPath(new URL('./codec-reader.js', import.meta.url));
const ROUNDS = 3;
const [BIG, SMALL] = [1_000_000, 40_000];
const others = LIBRARIES.filter((library) => library !== 'ours');
const folder = mkdtempSync(join(tmpdir(), 'leeway-bench-'));
try {
  tellFigures([...measure(BIG, others), ...measureSlowWriter()]);
} finally {
  rmSync(folder, { recursive: true });
}

function measure(events: number, libraries: readonly Library[]): Figure[] {
  const path = makeFile(events);
  const rounds = Array.from({ length: ROUNDS }, () => {
    const ours = run('ours', path);
    return libraries.map((library) => {
      const its = run(library, path, library === 'midi-file' ? 'read' : 'both');
      if (its.noteOns !== ours.noteOns || its.sum !== ours.sum)
        throw new Error(`${library} has read other notes: ${its.noteOns} for ${ours.noteOns}.`);
      return { read: ours.readSeconds / its.readSeconds, write: ours.writeSeconds / its.writeSeconds };
    });
  });
  return libraries.flatMap((library, i) => [
    ratio(
      `codec/read/${library}`,
      `our reading ÷ that of ${library}`,
      toMedian(rounds.map((its) => its[i].read)),
    ),
    ...(library === 'midi-file'
      ? []
      : [
          ratio(
            `codec/write/${library}`,
            `our writing ÷ that of ${library}`,
            toMedian(rounds.map((its) => its[i].write)),
          ),
        ]),
  ]);
}

function measureSlowWriter(): Figure[] {
  const path = makeFile(SMALL);
  const ratios = Array.from({ length: ROUNDS }, () => {
    const [ours, its] = [run('ours', path), run('midi-file', path)];
    if (its.bytes !== statSync(path).size) throw new Error(`midi-file wrote ${its.bytes} bytes.`);
    return ours.writeSeconds / its.writeSeconds;
  });
  return [
    ratio('codec/write/midi-file', `our writing ÷ that of midi-file, ${SMALL} events`, toMedian(ratios)),
  ];
}

function makeFile(events: number): string {
  const path = join(folder, `${events}.mid`);
  writeFileSync(path, formatMidiFile(makeBigFile(events)));
  return path;
}

function run(library: Library, path: string, mode: 'read' | 'both' = 'both'): CodecRun {
  const argv = ['--max-old-space-size=8000', READER, library, path, mode];
  const child = spawnSync(process.execPath, argv, { encoding: 'utf8' });
  if (child.status !== 0) throw new Error(`${library}: ${child.stderr}`);
  return JSON.parse(child.stdout) as CodecRun;
}
