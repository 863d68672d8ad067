import { mkdtempSync, renameSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { run } from '../../src/cli/index.js';
import type { OutputStream, Signal, World } from '../../src/cli/world.js';
import { CLOCK } from '../../src/io/clock/index.js';
import { FakeMachine } from '../support/fake-ports.js';
import { HeardSynth } from './heard-synth.js';
import { Listener } from './listener.js';
import { Pace } from './pace.js';
import { Player } from './player.js';

/** Everything `GET /healthz` tells that is looked at here. */
export interface Health {
  readonly session: Readonly<Record<string, number>>;
  readonly inputs: readonly {
    readonly port: string;
    readonly messages: number;
    readonly strange: number;
    readonly isClosed: boolean;
  }[];
  readonly outlets: readonly {
    readonly port: string;
    readonly sentMessages: number;
    readonly unheardMessages: number;
    readonly refusedMessages: number;
    readonly supersededMessages: number;
    readonly notes: Readonly<Record<string, number>>;
  }[];
  readonly server: Readonly<Record<string, number>>;
}

const PAGE_IS = 'The page: ';
const SYNTHS = ['Synth', 'Module', 'Organ'];

/**
 * The real `leeway live --page` within this process, between two keyboards and three synths that are not real, with a
 * settings file and a folder for takes. Nothing of the program is replaced but the ports and the signals.
 */
export class Stage {
  readonly folder = mkdtempSync(join(tmpdir(), 'leeway-soak-'));
  readonly machine = new FakeMachine(() => performance.now());
  readonly pace = new Pace();
  readonly players: readonly Player[];
  readonly listener = new Listener(SYNTHS);
  readonly synths = SYNTHS.map(
    (name, place) => new HeardSynth(this.machine, name, place, this.listener.ring),
  );
  /** Where the page is, token and all, once it was said. */
  url: URL | undefined;
  /** How often it was said that the page's thread had stopped. Nothing more is kept of what is said: it would be weighed. */
  pageStops = 0;
  readonly #random: (below: number) => number;
  readonly #listeners = new Map<Signal, Set<(cause?: unknown) => void>>();
  #reloads = 0;
  #running: Promise<number> | undefined;

  constructor(random: (below: number) => number) {
    this.#random = random;
    const hooks = {
      random,
      pace: this.pace,
      lastArrivalMs: () => this.synths.reduce((last, { lastMs }) => Math.max(last, lastMs), 0),
    };
    this.players = ['Keys', 'Pads'].map((name, channel) => new Player(this.machine, name, channel, hooks));
  }

  get settingsPath(): string {
    return join(this.folder, 'soak.toml');
  }

  get takes(): string {
    return join(this.folder, 'takes');
  }

  /** Starts the program. */
  open(): void {
    this.writeSettings();
    const world: World = {
      stdin: Readable.from([]),
      stdout: this.#collect((line) => {
        const { msg } = JSON.parse(line) as { readonly msg: string };
        if (msg.startsWith(PAGE_IS)) this.url = new URL(msg.slice(PAGE_IS.length));
        if (msg.startsWith('The page stopped')) this.pageStops++;
        this.pace.happen(`"${msg}"`);
      }),
      stderr: this.#collect((line) => console.error(line)),
      env: {},
      clock: CLOCK,
      // Not before the programs beside the stage have begun, which would inherit it.
      goFirst: () => Promise.resolve(false),
      openPorts: () => Promise.resolve(this.machine.openPorts()),
      on: (signal, listener) => {
        const its = this.#listeners.get(signal) ?? new Set();
        this.#listeners.set(signal, its.add(listener));
        return () => void its.delete(listener);
      },
    };
    this.#running = run(['live', this.settingsPath, '--page'], world);
  }

  /** Writes the settings anew, each time with other values. */
  writeSettings(): void {
    const strategy = ['free', 'pull', 'anchored', 'temper'][this.#random(4)];
    const text = `[tuning]
strategy = "${strategy}"
limit = ${[5, 7][this.#random(2)]}
a4 = ${[440, 442, 415][this.#random(3)]}

[[input]]
port = "Keys"
[[input]]
port = "Pads"

[[outlet]]
port = "Synth"
kind = "mpe"
[[outlet]]
port = "Module"
kind = "multichannel"
from = ["Keys"]
[[outlet]]
port = "Organ"
kind = "mts"
from = ["Pads"]

[live]
take = ${JSON.stringify(this.takes)}
# ${++this.#reloads}
`;
    writeFileSync(`${this.settingsPath}.new`, text);
    renameSync(`${this.settingsPath}.new`, this.settingsPath);
  }

  async readHealth(): Promise<Health> {
    const answer = await fetch(`http://${this.url?.host}/healthz`);
    return (await answer.json()) as Health;
  }

  /** Asks the program to end, as a service manager would. @returns its exit code */
  async close(): Promise<number> {
    for (const listen of [...(this.#listeners.get('SIGTERM') ?? [])]) listen();
    return (await this.#running) ?? -1;
  }

  #collect(take: (line: string) => void): OutputStream {
    let rest = '';
    return new Writable({
      write(chunk, _encoding, done) {
        const lines = (rest + String(chunk)).split('\n');
        rest = lines.pop() ?? '';
        for (const line of lines) take(line);
        done();
      },
    });
  }
}
