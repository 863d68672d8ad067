import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { describe, expect, test } from 'vitest';
import type { Signal, World } from '../../../src/cli/world.js';
import { LeewayError } from '../../../src/io/leeway-error.js';
import type { FakeKeys, FakeSynth } from '../../support/fake-devices.js';
import { FakeMachine } from '../../support/fake-ports.js';
import { FeedClient } from '../../support/feed-client.js';
import { findFreePort } from '../../support/free-port.js';
import { runCli } from '../../support/run-cli.js';
import { toModel } from '../../support/stage.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';
import { until } from '../../support/until.js';

const folder = useTemporaryFolder();

/** A keyboard and a synth, and a `leeway live` that runs between them. */
class Concert {
  readonly machine = new FakeMachine(() => performance.now());
  readonly keys: FakeKeys = this.machine.plugKeys('Keys');
  readonly synth: FakeSynth = this.machine.plugSynth('Synth');
  readonly ports = this.machine.openPorts();
  readonly #listeners = new Map<Signal, Set<(cause?: unknown) => void>>();
  #said = '';

  run(argv: readonly string[], changes: Partial<World> = {}) {
    return runCli(['live', ...argv], {
      ...changes,
      hears: (piece) => {
        this.#said += piece;
      },
      openPorts: () => Promise.resolve(this.ports),
      on: (signal, listener) => {
        const its = this.#listeners.get(signal) ?? new Set();
        this.#listeners.set(signal, its.add(listener));
        return () => void its.delete(listener);
      },
    });
  }

  send(signal: Signal, cause?: unknown): void {
    for (const listen of [...(this.#listeners.get(signal) ?? [])]) listen(cause);
  }

  listens(signal: Signal): number {
    return this.#listeners.get(signal)?.size ?? 0;
  }

  async hasSaid(words: string): Promise<void> {
    await until(words, () => this.#said.includes(words));
  }

  /** Where the feed of its page is, once it has said so. */
  pageAddress(): string {
    return String(/http(:\/\/127\.0\.0\.1:\d+)\//.exec(this.#said)?.[1]).replace(/^/, 'ws');
  }

  async isPlaying(): Promise<void> {
    await until('the keys are listened to', () => this.keys.listeners > 0);
  }
}

function toLines(out: string): { level: number; msg: string; code?: string }[] {
  return out
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line));
}

describe('leeway live', () => {
  test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    'plays until %s, and is silent then',
    async (signal) => {
      const concert = new Concert();
      const running = concert.run(['--in', 'Keys', '--out', 'Synth']);
      await concert.isPlaying();
      concert.keys.feed(0x90, 60, 80);
      concert.keys.feed(0x90, 64, 80);
      concert.keys.feed(0xb0, 64, 127);
      expect(toModel(concert.synth.messages).voices).toHaveLength(2);
      concert.send(signal);
      const { code, out } = await running;
      expect(code).toBe(0);
      expect(toModel(concert.synth.messages).voices).toEqual([]);
      expect(concert.ports.openLinks).toBe(0);
      expect(concert.listens(signal)).toBe(0);
      const said = toLines(out).map(({ msg }) => msg);
      expect(said).toContain('Input "Keys" is open.');
      expect(said).toContain('Output "Synth" is open.');
      expect(said.find((line) => line.startsWith('From key to synth'))).toMatch(/half of 3 messages within/);
    },
  );

  test('notes at its start that the bend range is too small for the wheel', async () => {
    const concert = new Concert();
    const outlet = ['--outlet', 'multichannel', '--bend-range', '2'];
    const running = concert.run(['--in', 'Keys', '--out', 'Synth', ...outlet]);
    await concert.isPlaying();
    concert.send('SIGTERM');
    const { code, err } = await running;
    expect(code).toBe(0);
    expect(err).toContain(
      'leeway: note: the bend range of "Synth", 2 semitones, is too small: the pitch wheel may stop',
    );
  });

  test('says which ports it waits for, which may be meant, and when it is ready', async () => {
    const concert = new Concert();
    const running = concert.run(['--in', 'Kyes', '--in', 'Pedals', '--out', 'Synth']);
    await concert.hasSaid('Not ready to play yet: no input is open. SIGTERM stops it. Start low');
    concert.machine.plugKeys('Pedals');
    await concert.hasSaid('"Ready to play."');
    concert.send('SIGTERM');
    const said = toLines((await running).out).map(({ msg }) => msg);
    expect(said.filter((line) => /^(Waiting|Input|Output|Ready)/.test(line)).slice(0, 5)).toEqual([
      'Waiting for input "Kyes": plug it in or start it. Did you mean "Keys"? There are: "Keys".',
      'Waiting for input "Pedals": plug it in or start it. There are: "Keys".',
      'Output "Synth" is open.',
      'Input "Pedals" is open.',
      'Ready to play.',
    ]);
  });

  test('ends with 70, in silence, at an uncaught error', async () => {
    const concert = new Concert();
    const running = concert.run(['--in', 'Keys', '--out', 'Synth']);
    await concert.isPlaying();
    concert.keys.feed(0x90, 60, 80);
    concert.send('fault', new Error('a string broke'));
    const { code, out } = await running;
    expect(code).toBe(70);
    expect(toModel(concert.synth.messages).voices).toEqual([]);
    expect(out).toContain('a string broke');
  });

  test('silences at SIGUSR1 and goes on, and prints its figures at SIGUSR2', async () => {
    const concert = new Concert();
    const running = concert.run(['--in', 'Keys', '--out', 'Synth']);
    await concert.isPlaying();
    concert.keys.feed(0x90, 60, 80);
    concert.send('SIGUSR1');
    expect(toModel(concert.synth.messages).voices).toEqual([]);
    concert.keys.feed(0x90, 62, 80);
    expect(toModel(concert.synth.messages).voices).toHaveLength(1);
    concert.send('SIGUSR2');
    await concert.hasSaid('From key to synth');
    concert.send('SIGTERM');
    const said = toLines((await running).out).map(({ msg }) => msg);
    expect(said).toContain('Everything is silent.');
    expect(said.filter((line) => line.startsWith('Input "Keys"'))).toHaveLength(3);
  });

  test('an input that hears its output is cut off: told on the terminal and on the page, until SIGUSR1', async () => {
    const concert = new Concert();
    const running = concert.run([
      '--in',
      'Keys',
      '--out',
      'Synth',
      '--page',
      '--port',
      String(await findFreePort()),
    ]);
    await concert.isPlaying();
    await concert.hasSaid('The page: ');
    const viewer = await new FeedClient(concert.pageAddress()).isOpen();
    const receive = concert.synth.receive.bind(concert.synth);
    concert.synth.receive = (bytes) => {
      receive(bytes);
      const back = [...bytes];
      globalThis.setTimeout(() => concert.keys.feed(...back), 2);
    };
    for (const key of [60, 64, 67, 72]) concert.keys.feed(0x90, key, 80);
    const line = '"Keys" hears what is sent to "Synth" and is cut off.';
    await concert.hasSaid(line.replaceAll('"', '\\"'));
    await until('the notice', () => viewer.of('notice').some(({ text }) => text.startsWith(line)));
    expect(toModel(concert.synth.messages).voices).toEqual([]);
    concert.send('SIGUSR1');
    await concert.hasSaid('is listened to again');
    await setTimeout(300);
    expect(toModel(concert.synth.messages).voices).toEqual([]);
    viewer.vanish();
    concert.send('SIGTERM');
    const said = toLines((await running).out);
    expect(said.filter(({ msg }) => msg.startsWith(line))).toMatchObject([
      { level: 50, code: 'FEEDBACK_LOOP' },
    ]);
  });

  test('reads its settings again when they change; a broken file changes nothing', async () => {
    const path = join(folder(), 'live.toml');
    const write = (strategy: string) =>
      writeFileSync(
        path,
        `[tuning]\nstrategy = "${strategy}"\n[[input]]\nport = "Keys"\n[[outlet]]\nport = "Synth"\n`,
      );
    write('free');
    const concert = new Concert();
    const running = concert.run([path]);
    await concert.isPlaying();
    write('wild');
    concert.send('SIGHUP');
    await concert.hasSaid('The settings stay as they were.');
    write('pull');
    concert.send('SIGHUP');
    await concert.hasSaid('The settings were read again: pulled');
    concert.send('SIGTERM');
    const said = toLines((await running).out);
    const broken = said.find(({ msg }) => msg.includes('wild'));
    expect(broken?.msg).toContain(`${path}:2:12`);
    expect(said.map(({ msg }) => msg)).toContain('The settings stay as they were.');
    expect(said.at(-1)).toBeDefined();
    expect(said.some(({ msg }) => msg.startsWith('The settings were read again: pulled'))).toBe(true);
    expect(concert.machine).toBeDefined();
  });

  test('loads a preset by a program change, and reads it again when its file is written', async () => {
    const [path, preset] = ['live.toml', 'slow.toml'].map((name) => join(folder(), name));
    const ports = '[[input]]\nport = "Keys"\n[[outlet]]\nport = "Synth"\n';
    writeFileSync(path, `${ports}[[action]]\nprogram = 5\ndo = "preset"\npreset = "slow.toml"\n`);
    writeFileSync(preset, '[tuning]\nstrategy = "pull"\n');
    const concert = new Concert();
    const running = concert.run([path]);
    await concert.isPlaying();
    concert.keys.feed(0xc0, 4);
    await concert.hasSaid('The preset is slow.');
    await concert.hasSaid('Now pulled at 3 c a second');
    writeFileSync(preset, '[tuning]\nstrategy = "pul"\n');
    await concert.hasSaid('slow.toml:2:12: strategy');
    await concert.hasSaid('The settings stay as they were.');
    writeFileSync(preset, '[tuning]\nstrategy = "temper"\n');
    await concert.hasSaid('The settings were read again: anchored');
    concert.keys.feed(0xc0, 4);
    await concert.hasSaid('Now tempered');
    concert.send('SIGTERM');
    expect((await running).code).toBe(0);
  });

  test('records a take, whole when it ends, that leeway retune takes', async () => {
    const takes = join(folder(), 'takes');
    const concert = new Concert();
    const running = concert.run(['--in', 'Keys', '--out', 'Synth', '--take', takes]);
    await concert.isPlaying();
    concert.keys.feed(0x90, 60, 80);
    concert.keys.feed(0x80, 60, 64);
    concert.keys.feed(0x90, 64, 80);
    concert.send('SIGTERM');
    const said = toLines((await running).out).map(({ msg }) => msg);
    const [name] = readdirSync(takes);
    const take = join(takes, name);
    expect(said).toContain(`Recording into ${take}.`);
    expect(said.at(-1)).toMatch(/^The take is in .*: \d+ messages\.$/);
    expect(readdirSync(take).sort()).toEqual(['in-1 Keys.mid', 'ledger.jsonl', 'out-1 Synth.mid']);
    const output = join(folder(), 'later.mid');
    const later = await runCli(['retune', join(take, 'in-1 Keys.mid'), '-o', output]);
    expect(later).toMatchObject({ code: 0, err: '' });
    expect(later.out).toContain('2 notes');
    const ledger = readFileSync(join(take, 'ledger.jsonl'), 'utf8').trim().split('\n');
    expect(ledger.map((line) => JSON.parse(line).kind)).toContain('drained');
  });

  test('reports a take that can’t be made in one line, and plays', async () => {
    const path = join(folder(), 'file');
    writeFileSync(path, '');
    const concert = new Concert();
    const running = concert.run(['--in', 'Keys', '--out', 'Synth', '--take', path]);
    await concert.isPlaying();
    concert.keys.feed(0x90, 60, 80);
    expect(toModel(concert.synth.messages).voices).toHaveLength(1);
    concert.send('SIGTERM');
    const { code, out } = await running;
    expect(code).toBe(0);
    expect(toLines(out).filter(({ code: its }) => its === 'FOLDER_FAILED')).toHaveLength(1);
  });

  test('writes plain text on a terminal, without colour where none is wanted', async () => {
    const concert = new Concert();
    const running = runCli(['live', '--in', 'Keys', '--out', 'Synth'], {
      terminal: true,
      env: { NO_COLOR: '1' },
      openPorts: () => Promise.resolve(concert.ports),
      on: (signal, listener) => {
        if (signal === 'SIGTERM') globalThis.setTimeout(listener, 50);
        return () => {};
      },
    });
    const { out } = await running;
    expect(out).toMatch(/\d\d:\d\d:\d\d.* Input "Keys" is open\.\n/);
    expect(out).not.toContain('\u001b[');
    expect(out).toContain('Stop with Ctrl+C.');
  });

  test('asks for priority before it opens its ports, and reports if it has it', async () => {
    const concert = new Concert();
    let listenersThen = -1;
    const goFirst = async () => {
      await setTimeout(20);
      listenersThen = concert.keys.listeners;
      return true;
    };
    const running = concert.run(['--in', 'Keys', '--out', 'Synth'], { goFirst });
    await concert.isPlaying();
    concert.send('SIGTERM');
    const { out } = await running;
    expect(listenersThen).toBe(0);
    const line = 'The music goes before other programs.';
    expect(toLines(out).map(({ msg }) => msg)).toContain(line);
    const other = new Concert();
    const quiet = other.run(['--in', 'Keys', '--out', 'Synth']);
    await other.isPlaying();
    other.send('SIGTERM');
    expect((await quiet).out).not.toContain(line);
  });

  test('ends with 3 without MIDI, with one line', async () => {
    const missing = new LeewayError(
      { code: 'MIDI_NO_SEQUENCER', message: 'There is no MIDI.', advice: 'Get some.' },
      { exitCode: 3 },
    );
    const { code, out, err } = await runCli(['live'], { openPorts: () => Promise.reject(missing) });
    expect({ code, out }).toEqual({ code: 3, out: '' });
    expect(err).toBe('leeway: There is no MIDI. Get some. [MIDI_NO_SEQUENCER]\n');
  });

  test('ends with 2 at a mistake in the settings, before any port is opened', async () => {
    const path = join(folder(), 'bad.toml');
    writeFileSync(path, '[tuning]\nlimit = 4\n');
    const { code, err } = await runCli(['live', path]);
    expect(code).toBe(2);
    expect(err).toContain('bad.toml:2:9');
  });
});
