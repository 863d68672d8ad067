import { DriftHistory, toSettingsFact } from '../../src/core/monitor/index.js';
import {
  BARE_STAGE,
  type Downstream,
  FEED_VERSION,
  FileAssembly,
  type Frame,
  forStrategies,
  type PassFact,
  type SettingsFact,
  type StageFact,
  type Upstream,
} from '../../src/core/protocol/index.js';
import { type TunerSettings, toDrift } from '../../src/core/tuner/index.js';
import { Trio } from '../support/trio.js';
import { type PiecePass, readPass } from './piece-events.js';

/** Names of the pieces one can start. */
const NAMES = ['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'];
/** What the page plays comes in on a part of its own. */
const PAGE_PART = 15;

/**
 * A whole session without ports: the real tuners over a demo piece and over what a page plays, with a clock that is told
 * the time. What the browser tests connect to.
 */
export class ScriptedSession {
  readonly trio: Trio;
  readonly course = new DriftHistory();
  readonly passes: PassFact[] = [];
  readonly #pieces: ReadonlyMap<string, PiecePass> = new Map(NAMES.map((name) => [name, readPass(name)]));
  readonly #assembly = new FileAssembly();
  #playing:
    | { name: string; pass: PiecePass; startMs: number; next: number; tempo: number; loop: boolean }
    | undefined;
  #tail: Frame['entries'] = [];
  /** Changes that only show in the settings fact. */
  stage: StageFact = BARE_STAGE;
  readonly #leewayCents = { pull: 2, anchored: 8 };
  /** Everything a page was allowed to order. */
  readonly orders: Upstream[] = [];

  constructor(changes: Partial<TunerSettings> = {}) {
    this.trio = new Trio(changes);
  }

  /** Starts a piece now. */
  start(name: string, tempo = 1, loop = true): void {
    const pass = this.#pieces.get(name);
    if (pass === undefined) throw new RangeError(`no piece is called ${name}`);
    this.stop();
    const startMs = this.trio.nowMs;
    this.#playing = { name, pass, startMs, next: 0, tempo, loop };
    this.#beginPass(1, startMs);
  }

  /** Stops the piece; its notes end. */
  stop(): void {
    if (this.#playing === undefined) return;
    this.#playing = undefined;
    this.trio.pass = 0;
    for (let part = 0; part < 8; part++) this.trio.tell({ kind: 'silence', atMs: this.trio.nowMs, part });
  }

  /** Lets time pass up to `ms` on the session's clock. */
  advance(ms: number): void {
    for (let due = this.#nextMs(); due <= ms; due = this.#nextMs()) this.#playNext(due);
    this.trio.tell({ kind: 'time', atMs: ms });
    this.#record();
  }

  /** Lets time pass in steps, as fast as it goes, so that there is a past to see. */
  fastForward(ms: number, seen: (frame: Frame) => void = () => {}): void {
    const end = this.trio.nowMs + ms;
    while (this.trio.nowMs < end) {
      this.advance(Math.min(end, this.trio.nowMs + 40));
      if (this.trio.entries.length > 60) seen(this.frame());
    }
    seen(this.frame());
  }

  /** A frame of now. */
  frame(): Frame {
    const playing = this.#playing;
    const frame = this.trio.frame({
      playing:
        playing === undefined
          ? null
          : {
              name: playing.name,
              title: playing.pass.title,
              tempo: playing.tempo,
              loop: playing.loop,
              pass: this.passes[this.passes.length - 1],
              isPaused: false,
              positionMs: (this.trio.nowMs - playing.startMs) * playing.tempo,
              lengthMs: playing.pass.lengthMs,
              fromMs: 0,
              toMs: playing.pass.lengthMs,
            },
      stage: this.stage,
    });
    this.#tail = [...this.#tail, ...frame.entries].slice(-100);
    return frame;
  }

  snapshot(mayControl: boolean): Downstream {
    return {
      type: 'snapshot',
      version: FEED_VERSION,
      session: 'scripted',
      mayControl,
      settings: this.settings(),
      pieces: [...this.#pieces].map(([name, { title }]) => ({ name, title })),
      course: this.course.toFact(),
      passes: this.passes.slice(-60),
      score: null,
      frame: { ...this.frame(), entries: this.#tail },
    };
  }

  settings(): SettingsFact {
    const { trio } = this;
    return toSettingsFact(trio.tuners[trio.strategy].settings, {
      leewayCents: this.#leewayCents,
      bypass: this.trio.bypass,
      stories: [],
      inputs: [],
      outputs: ['Leeway'],
      addresses: [],
      carries: 'nothing' as const,
    });
  }

  /** Carries out what a page with the token ordered. @returns what everyone is told of it, if anything */
  take(order: Upstream): Downstream | undefined {
    this.orders.push(order);
    const atMs = this.trio.nowMs;
    switch (order.type) {
      case 'hello':
        return undefined;
      case 'play':
        if (order.act === 'on') this.trio.tell({ kind: 'note-on', atMs, part: PAGE_PART, key: order.key });
        if (order.act === 'off') this.trio.tell({ kind: 'note-off', atMs, part: PAGE_PART, key: order.key });
        if (order.act === 'sustain')
          this.trio.tell({ kind: 'pedal', atMs, part: PAGE_PART, pedal: 'sustain', down: order.down });
        if (order.act === 'all-off') this.trio.tell({ kind: 'silence', atMs, part: PAGE_PART });
        return undefined;
      case 'control':
        if (order.what === 'hear') {
          if (order.value !== 'equal') this.trio.strategy = order.value;
          this.trio.bypass = order.value === 'equal';
        }
        if (order.what === 'leeway') this.#leewayCents[order.strategy] = order.value;
        return { type: 'settings', settings: this.settings() };
      case 'piece':
        if (order.act === 'start') this.start(order.name, order.tempo, order.loop);
        if (order.act === 'stop') this.stop();
        if (order.act === 'tempo' && this.#playing !== undefined) this.#setTempo(order.value);
        if (order.act === 'loop' && this.#playing !== undefined) this.#playing.loop = order.value;
        if (order.act !== 'file') return undefined;
        return this.#takeFile(order);
      case 'stage':
        if (order.act === 'view') this.stage = { ...this.stage, view: order.value };
        if (order.act === 'only') this.stage = { ...this.stage, only: order.value };
        if (order.act === 'point') this.stage = { ...this.stage, pointer: order.value };
        return undefined;
      case 'story':
        return undefined;
    }
  }

  #takeFile(order: Extract<Upstream, { act: 'file' }>): Downstream {
    const outcome = this.#assembly.take(order);
    if (!outcome.ok) return { type: 'refused', code: 'BAD_FILE', text: outcome.problem.message };
    const { value } = outcome;
    if (value === undefined) return { type: 'taken', upload: order.upload, part: order.part };
    return { type: 'notice', level: 'info', text: `${value.name} has arrived, ${value.bytes} bytes.` };
  }

  #setTempo(tempo: number): void {
    const playing = this.#playing!;
    const written = (this.trio.nowMs - playing.startMs) * playing.tempo;
    playing.tempo = tempo;
    playing.startMs = this.trio.nowMs - written / tempo;
  }

  #nextMs(): number {
    const playing = this.#playing;
    if (playing === undefined) return Infinity;
    const { events, lengthMs } = playing.pass;
    const writtenMs = playing.next < events.length ? events[playing.next].atMs : lengthMs;
    return playing.startMs + writtenMs / playing.tempo;
  }

  #playNext(atMs: number): void {
    const playing = this.#playing!;
    const event = playing.pass.events[playing.next++];
    if (event !== undefined) {
      const { part, key, isDown } = event;
      this.trio.tell({ kind: isDown ? 'note-on' : 'note-off', atMs, part, key });
      return;
    }
    if (!playing.loop) {
      this.stop();
      return;
    }
    playing.next = 0;
    playing.startMs = atMs;
    this.#beginPass(this.trio.pass + 1, atMs);
  }

  #beginPass(n: number, atMs: number): void {
    this.trio.pass = n;
    this.passes.push({ n, atMs, left: this.#left() });
  }

  #record(): void {
    this.course.record({ atMs: this.trio.nowMs, ...this.#left() });
  }

  #left() {
    return forStrategies((which) => toDrift(this.trio.tuners[which]).leftCents);
  }
}
