import { spawn } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type OutputLink, openPortSystem, type PortSystem } from '../../src/io/ports/index.js';
import { NO_SEQUENCER } from '../support/alsa.js';
import { type FarSynth, makeSynth, openNamed } from '../support/far-synth.js';
import { LiveProcess } from '../support/live-process.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { pause, until } from '../support/until.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const PLAY = toSection(readFileSync(join(ROOT, 'README.md'), 'utf8'), 'Play');

/** The text of a section of the README. */
function toSection(text: string, name: string): string {
  const [, section] = new RegExp(`^## ${name}\\n([\\s\\S]*?)^## `, 'm').exec(text) ?? [];
  if (section === undefined) throw new Error(`The README has no section ${name}.`);
  return section;
}

/** What stands in its blocks of one language, each as printed. */
function toBlocks(language: string): string[] {
  return [...PLAY.matchAll(/^```(\w*)\n([\s\S]*?)^```$/gm)]
    .filter(([, its]) => its === language)
    .map(([, , text]) => text);
}

/** The one command of the section that begins like this, as printed, its remark too. */
function commandOf(begins: string): string {
  const lines = toBlocks('sh').flatMap((block) => block.split('\n'));
  const found = lines.filter((line) => line.startsWith(begins));
  if (found.length !== 1) throw new Error(`${found.length} commands begin with "${begins}".`);
  return found[0];
}

/** The one settings file of the section that has this line. */
function settingsOf(line: string): string {
  const found = toBlocks('toml').filter((block) => block.includes(line));
  if (found.length !== 1) throw new Error(`${found.length} settings files have "${line}".`);
  return found[0];
}

/** A command of the README in a shell, and what it prints. */
class Shell {
  printed = '';
  readonly ended: Promise<number | string | null>;
  readonly #child;

  constructor(command: string) {
    // In a process group of its own, so that Ctrl+C reaches all of it, as on a terminal.
    this.#child = spawn('sh', ['-c', command], { cwd: ROOT, detached: true });
    for (const stream of [this.#child.stdout, this.#child.stderr])
      stream.on('data', (chunk: Buffer) => {
        this.printed += String(chunk);
      });
    this.ended = new Promise((resolve) => {
      this.#child.on('exit', (code, signal) => resolve(signal ?? code));
    });
  }

  /** Ctrl+C. */
  interrupt(signal: NodeJS.Signals = 'SIGINT'): void {
    const { pid, exitCode, signalCode } = this.#child;
    if (pid !== undefined && exitCode === null && signalCode === null) process.kill(-pid, signal);
  }
}

describe.skipIf(NO_SEQUENCER !== undefined)('the README, word for word, on a real sequencer', () => {
  const folder = useTemporaryFolder();
  let far: PortSystem;
  let shell: Shell | undefined;
  let live: LiveProcess | undefined;

  beforeEach(async () => {
    far = await openPortSystem();
  });
  afterEach(async () => {
    shell?.interrupt('SIGKILL');
    live?.kill('SIGKILL');
    await Promise.all([shell?.ended, live?.ended]);
    shell = undefined;
    live = undefined;
    far.close();
  });

  const silent = (synth: FarSynth) => until('silence', () => synth.model.voices.length === 0);

  test('first sound: ports lists keyboard and synthesizer, tone plays, live plays a chord in tune, Ctrl+C stops', async () => {
    const keys = far.createOutput('Stage Piano');
    const synth = makeSynth(far, 'Synth');

    shell = new Shell(commandOf('node bin/leeway.js ports'));
    expect(await shell.ended).toBe(0);
    expect(shell.printed).toContain('Stage Piano');
    expect(shell.printed).toContain('Synth');

    shell = new Shell(commandOf('node bin/leeway.js tone'));
    await until('the third', () => synth.model.voices.length === 2, 120_000);
    const [low, high] = synth.model.voices.map((voice) => synth.model.centsOf(voice)).sort((a, b) => a - b);
    expect(Math.abs(high - low - 386.314)).toBeLessThan(0.6);
    shell.interrupt();
    await shell.ended;
    await silent(synth);

    shell = new Shell(commandOf('node bin/leeway.js live'));
    await until('"Ready to play"', () => shell?.printed.includes('Ready to play') === true, 120_000);
    for (const key of [48, 64, 67]) keys.send(Uint8Array.of(0x90, key, 80));
    await until('the chord', () => synth.model.voices.length === 3);
    await pause(500);
    const cents = synth.model.voices.map((voice) => synth.model.centsOf(voice)).sort((a, b) => a - b);
    expect(Math.abs(cents[1] - cents[0] - 1586.314)).toBeLessThan(1.2);
    shell.interrupt();
    await shell.ended;
    await silent(synth);
    expect(synth.model.faults).toEqual([]);
  }, 400_000);

  test('live without names makes two ports named Leeway', async () => {
    live = new LiveProcess();
    await live.says('Ready to play');
    const { inputs, outputs } = far.list();
    expect(
      [inputs, outputs].map((list) => list.filter(({ name }) => name.includes('Leeway')).length),
    ).toEqual([1, 1]);
    live.kill('SIGINT');
    await live.ended;
  }, 120_000);

  test('check takes the settings file', async () => {
    shell = new Shell(commandOf('node bin/leeway.js check'));
    expect(await shell.ended).toBe(0);
    expect(shell.printed).toContain('is in order');
  }, 120_000);

  /** A live session with settings of the README; the synthesizer is what it calls for. */
  const begin = async (settings: string, ...more: string[]): Promise<void> => {
    const path = join(folder(), 'stage.toml');
    writeFileSync(path, settings);
    live = new LiveProcess(path, ...more);
    await live.says('Ready to play');
  };
  const strike = (hand: OutputLink, ...keys: number[]) => {
    for (const key of keys) hand.send(Uint8Array.of(0x90, key, 80));
  };

  test('the foot switch asks for its action', async () => {
    const synth = makeSynth(far, 'Synth');
    await begin(settingsOf('do = "home-next"'), '--out', 'Synth');
    const hand = openNamed(far, 'Leeway');
    strike(hand, 60);
    await until('a note', () => synth.model.voices.length === 1);
    hand.send(Uint8Array.of(0xb0, 67, 127));
    await live?.says('Asked to go home at the next strike');
    expect(synth.model.voices).toHaveLength(1);
  }, 120_000);

  test('the organ passes unchanged, and the keyboard is tuned to it', async () => {
    const organ = far.createOutput('Organ');
    const [pipes, synth] = [makeSynth(far, 'Pipes'), makeSynth(far, 'Synth')];
    await begin(
      [
        settingsOf('role = "fixed"'),
        '[[input]]\nport = "Keys"\nvirtual = true',
        '[[outlet]]\nport = "Pipes"\nkind = "mts"\nfrom = ["Organ"]',
        '[[outlet]]\nport = "Synth"\nfrom = ["Keys"]',
      ].join('\n'),
    );
    strike(organ, 48);
    await until('the pipe', () => pipes.model.voices.length === 1);
    strike(openNamed(far, 'Keys'), 64, 67);
    await until('the chord', () => synth.model.voices.length === 2);
    await pause(300);
    expect(pipes.model.centsOf(pipes.model.voices[0])).toBe(4800);
    const cents = synth.model.voices.map((voice) => synth.model.centsOf(voice)).sort((a, b) => a - b);
    expect(Math.abs(cents[0] - 4800 - 1586.314)).toBeLessThan(0.6);
    expect(Math.abs(cents[1] - 4800 - 1901.955)).toBeLessThan(0.6);
  }, 120_000);

  test('the split keyboard plays two zones of one synthesizer, its bass an octave down and without the pedal', async () => {
    const synth = makeSynth(far, 'Synth');
    await begin(settingsOf('[[split]]'));
    const hand = openNamed(far, 'Leeway');
    hand.send(Uint8Array.of(0xb0, 64, 127));
    strike(hand, 59, 60);
    await until('both notes', () => synth.model.voices.length === 2);
    expect(
      synth.model.voices
        .map(({ channel, key }) => [channel > 7, key])
        .sort((a, b) => Number(a[1]) - Number(b[1])),
    ).toEqual([
      [false, 47],
      [true, 60],
    ]);
    for (const key of [59, 60]) hand.send(Uint8Array.of(0x80, key, 64));
    await until('the bass to end', () => synth.model.voices.length === 1);
    hand.send(Uint8Array.of(0xb0, 64, 0));
    await silent(synth);
    expect(synth.model.faults).toEqual([]);
  }, 120_000);
});
