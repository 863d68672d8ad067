import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Signal } from '../../src/cli/world.js';
import type { Clock } from '../../src/io/clock/index.js';
import { LeewayError } from '../../src/io/leeway-error.js';
import { FakeMachine } from '../support/fake-ports.js';
import { runCli } from '../support/run-cli.js';
import { toModel } from '../support/stage.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();

/** A synth, and a clock that lets no time pass; at a given wait, something happens. */
class Trial {
  readonly machine = new FakeMachine();
  readonly synth = this.machine.plugSynth('Synth');
  readonly ports = this.machine.openPorts();
  readonly listeners = new Map<Signal, (cause?: unknown) => void>();
  running = 0;
  /** EventLine each wait by its number, from 1. */
  atWait: (n: number) => unknown = () => {};
  readonly #lastWait: number;
  readonly #atLast: (trial: Trial) => void;
  #nowMs = 0;
  #waits = 0;

  readonly clock: Clock = {
    now: () => this.#nowMs,
    every: (ms, run) => {
      this.running++;
      this.#waits++;
      this.atWait(this.#waits);
      const isLast = this.#waits === this.#lastWait;
      setImmediate(() => {
        if (isLast) return this.#atLast(this);
        this.#nowMs += ms;
        run();
      });
      return { stop: () => void this.running-- };
    },
  };

  constructor(lastWait: number, atLast: (trial: Trial) => void = (trial) => trial.send('SIGINT')) {
    this.#lastWait = lastWait;
    this.#atLast = atLast;
  }

  send(signal: Signal, cause?: unknown): void {
    this.listeners.get(signal)?.(cause);
  }

  run(...argv: string[]) {
    return runCli(['tone', ...argv], {
      clock: this.clock,
      openPorts: () => Promise.resolve(this.ports),
      on: (signal, listener) => {
        this.listeners.set(signal, listener);
        return () => void this.listeners.delete(signal);
      },
    });
  }
}

describe('leeway tone', () => {
  test('warns first, says before each tone what should sound, and repeats', async () => {
    const trial = new Trial(30);
    const { code, out, err } = await trial.run('--out', 'Synth');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out.startsWith('Mind your ears: turn the volume down')).toBe(true);
    expect(out).toMatch(
      /Playing to "Synth"; an MPE lower zone of 15 member channels, bend range 48 semitones/,
    );
    const order = 'Mind your ears, A single soft note, A pure major third, A pure fifth, The same note'.split(
      ', ',
    );
    const places = order.map((text) => out.indexOf(text));
    expect(places.every((place) => place >= 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
    expect(out.split('A single soft note')).toHaveLength(4);
    expect(toModel(trial.synth.messages).voices).toEqual([]);
  });

  test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    'is silent after %s, at every moment',
    async (signal) => {
      let most = 0;
      for (let last = 1; last <= 13; last++) {
        const trial = new Trial(last, (its) => {
          most = Math.max(most, toModel(its.synth.messages).voices.length);
          its.send(signal);
        });
        expect(await trial.run('--out', 'Synth', '--outlet', 'multichannel')).toMatchObject({ code: 0 });
        const model = toModel(trial.synth.messages);
        expect(model.voices).toEqual([]);
        expect(model.channels.every(({ bend }) => bend === 8192)).toBe(true);
        expect(trial.ports.openLinks).toBe(0);
        expect(trial.running).toBe(0);
        expect(trial.listeners.size).toBe(0);
      }
      expect(most).toBe(2);
    },
  );

  test('is silent after an end that leaves no time', async () => {
    const trial = new Trial(3, (its) => {
      its.send('exit');
      expect(toModel(its.synth.messages).voices).toEqual([]);
      its.send('SIGTERM');
    });
    await trial.run('--out', 'Synth');
    expect(toModel(trial.synth.messages).noteOns).toBe(1);
  });

  test('ends with 70, in silence, at an uncaught error', async () => {
    const trial = new Trial(2, (its) => its.send('fault', new Error('a string broke')));
    const { code, err } = await trial.run('--out', 'Synth');
    expect(code).toBe(70);
    expect(err).toContain('a string broke');
    expect(toModel(trial.synth.messages).voices).toEqual([]);
  });

  test('takes the first outlet of a settings file, with its kind and range; --out names another', async () => {
    const path = join(folder(), 'two.toml');
    writeFileSync(
      path,
      '[[outlet]]\nport = "Synth"\nkind = "multichannel"\nchannels = [2, 3]\nbend-range = 7\n[[outlet]]\nport = "Module"\nkind = "mts"\n',
    );
    const first = new Trial(6);
    const { out, err } = await first.run('--settings', path);
    expect(out).toContain('plain channels 2, 3, bend range 7 semitones');
    expect(out.replaceAll(/\s+/g, ' ')).toContain('set it to 7 semitones on the synth, on every channel');
    expect(err).toContain('of 2 outlets the first is heard');
    const model = toModel(first.synth.messages);
    expect(model.channels.map(({ rangeCents }) => rangeCents).filter((cents) => cents === 700)).toHaveLength(
      2,
    );
    const second = new Trial(6);
    const module = second.machine.plugSynth('Module');
    expect((await second.run('--settings', path, '--out', 'Module')).out).toContain('tuning messages');
    expect(module.messages.some(([status]) => status === 0x90)).toBe(true);
  });

  test('asks to connect its virtual port', async () => {
    const trial = new Trial(4);
    const { code, out } = await trial.run('--virtual-out', 'Test');
    expect(code).toBe(0);
    expect(out).toContain('Connect "Test" to the synth now');
    const sent = trial.ports.ownOutputs.get('Test');
    expect(sent?.messages.some(([status]) => (status & 0xf0) === 0x90)).toBe(true);
  });

  test('ends with 2 at an unknown port, and lists the ports', async () => {
    const { code, err } = await new Trial(1).run('--out', 'Organ');
    expect(code).toBe(2);
    expect(err).toBe('leeway: outlet: there is no MIDI port "Organ". There are: "Synth". [PORT_MISSING]\n');
  });

  test('ends with 2 at a misspelt port, and suggests the one that may be meant', async () => {
    const { code, err } = await new Trial(1).run('--out', 'Snyth');
    expect(code).toBe(2);
    expect(err).toContain('there is no MIDI port "Snyth". Did you mean "Synth"? There are: "Synth".');
  });

  test('ends with 2 when its synth is unplugged', async () => {
    const trial = new Trial(99);
    trial.atWait = (n) => n === 3 && trial.synth.unplug();
    const { code, err } = await trial.run('--out', 'Synth');
    expect(code).toBe(2);
    expect(err).toContain('is gone. Plug it in again, and start again. [PORT_MISSING]');
  });

  test('ends with 2 when its synth refuses a message, and silences it all the same', async () => {
    const trial = new Trial(99);
    trial.atWait = (n) => {
      // Its note-off is refused.
      const next = trial.synth.sends + 1;
      if (n === 2) trial.synth.refuses = (send) => send === next;
    };
    const { code, err } = await trial.run('--out', 'Synth');
    expect(code).toBe(2);
    expect(err).toContain('[PORT_SEND]');
    const model = toModel(trial.synth.messages);
    expect(model.noteOns).toBe(1);
    expect(model.voices).toEqual([]);
  });

  test('ends with 3 without MIDI, and with 2 at a mistake', async () => {
    const missing = new LeewayError(
      { code: 'MIDI_NO_SEQUENCER', message: 'There is no MIDI.', advice: 'Get some.' },
      { exitCode: 3 },
    );
    expect(await runCli(['tone'], { openPorts: () => Promise.reject(missing) })).toMatchObject({
      code: 3,
      out: '',
    });
    expect(await runCli(['tone', '--bend-range', '0'])).toMatchObject({ code: 2, out: '' });
  });
});
