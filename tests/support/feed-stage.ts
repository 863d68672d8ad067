import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { toTunerEvents } from '../../src/core/line/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { FeedServer } from '../../src/io/server/feed-server.js';
import type { FromServer, ServerStart } from '../../src/io/server/protocol.js';
import { FeedClient } from './feed-client.js';
import { toRows } from './rows.js';
import { until } from './until.js';

export const TOKEN = 'a'.repeat(43);

/** What a session tells of itself at first. */
export const FACTS: ServerStart['facts'] = {
  leewayCents: { pull: 2, anchored: 8 },
  bypass: false,
  stories: [],
  inputs: [],
  outputs: ['Synth'],
  addresses: [],
  carries: 'channel and bend',
};

/** A small page in a folder. */
export function writePage(folder: string): string {
  const page = join(folder, 'page');
  mkdirSync(join(page, 'assets'), { recursive: true });
  writeFileSync(join(page, 'index.html'), '<!doctype html><title>Leeway</title>');
  writeFileSync(join(page, 'assets', 'main.js'), 'export const sail = "full and by";\n'.repeat(50));
  writeFileSync(join(folder, 'secret.txt'), 'nobody may read this');
  return page;
}

/** A server within this thread, at a port of its own, and a session that is played by hand. */
export class FeedStage {
  readonly told: FromServer[] = [];
  readonly server: FeedServer;
  readonly clients: FeedClient[] = [];
  nowMs = 0;

  constructor(folder: string, changes: Partial<ServerStart> = {}) {
    const start: ServerStart = {
      address: '127.0.0.1',
      port: 0,
      morePorts: 0,
      token: TOKEN,
      session: 'of today',
      folder,
      version: '0.0.1',
      pieces: [{ name: 'choir', title: 'A choir' }],
      firstViewer: 1,
      settings: toSettings({}),
      facts: FACTS,
      snapshot: undefined,
      ...changes,
    };
    this.server = new FeedServer(start, (message) => this.told.push(message));
  }

  async open(): Promise<this> {
    this.server.open();
    await until('the server', () => this.port > 0);
    return this;
  }

  get port(): number {
    const listening = this.told.find((one) => one.kind === 'listening');
    return listening?.kind === 'listening' ? listening.port : 0;
  }

  get address(): string {
    return `127.0.0.1:${this.port}`;
  }

  /** Somebody looks. */
  async viewer(headers?: Readonly<Record<string, string>>): Promise<FeedClient> {
    const client = new FeedClient(`ws://${this.address}`, headers);
    this.clients.push(client);
    return client.isOpen();
  }

  /** Somebody who may play. */
  async player(): Promise<FeedClient> {
    const client = await this.viewer();
    await client.hello(TOKEN);
    return client;
  }

  /** The session plays a message, and lets time pass. */
  play(status: number, data1: number, data2: number, thenMs = 40): this {
    this.server.take(toRows(...toTunerEvents(this.nowMs, 0, status, data1, data2)));
    return this.wait(thenMs);
  }

  wait(ms: number): this {
    this.nowMs += ms;
    this.server.take(toRows({ kind: 'time', atMs: this.nowMs }));
    return this;
  }

  /** Orders that were handed on. */
  orders(): unknown[] {
    return this.told.flatMap((one) => (one.kind === 'order' ? [one.order] : []));
  }

  async close(): Promise<void> {
    for (const client of this.clients) client.vanish();
    await this.server.close();
  }
}
