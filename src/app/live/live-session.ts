import type { MidiSink } from '../../core/midi/index.js';
import {
  createTuner,
  isAdjustment,
  nextWakeMs,
  type Strategy,
  type TunerSettings,
} from '../../core/tuner/index.js';
import type { PortSystem, WantedPort } from '../../io/ports/index.js';
import { isKeyMessage, Line, type LineEar, type LineWatcher } from '../line.js';
import { act } from './act.js';
import type { CarriageEar } from './carriage-tap.js';
import { Histogram } from './histogram.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import { type ActionRule, type LiveSettings, withStrategy } from './live-settings.js';
import { PortDesk } from './port-desk.js';
import type { DrainCause, SessionEvent } from './session-event.js';
import type { WantedPorts } from './wanted-ports.js';

/** What a settings file says beside the tuning, to see whether it changed. */
function toRoute({ inputs, outlets, actions, fuse, systemMessages }: LiveSettings): string {
  return JSON.stringify({ inputs, outlets, actions, fuse, systemMessages });
}

/** How often the ports are looked at, in milliseconds. */
export const LOOK_MS = 250;

/** Told every whole message of an input as it came in, before anything is made of it. Keep it short, and copy bytes. */
export interface HeardListener {
  channel(atMs: number, port: string, status: number, data1: number, data2: number): void;
  system(atMs: number, port: string, bytes: Uint8Array): void;
}

/** What a session needs of the world. */
export interface SessionEdges {
  readonly ports: PortSystem;
  /** Milliseconds, with fractions, from any start; should it go back, time stands still for the session. */
  readonly now: () => number;
  /** Told what people should know. Called off the note path only where it can't be helped, so keep it short. */
  readonly tell: (event: SessionEvent) => void;
  /** Something is to be done in time: call `tick` every few milliseconds from now on, until `needsTick` is false. */
  readonly wake: () => void;
  /** Told every decision, after it was sent. */
  readonly watcher?: LineWatcher;
  /** Told all that the tuner is told, before it is. On the note path; keep it short. */
  readonly ear?: LineEar | undefined;
  /** Told on which channel the first outlet sends a note, and every bend of it. On the note path; keep it short. */
  readonly carriage?: CarriageEar | undefined;
  /** All that comes in, tuned or not, actions and what a fuse holds back included. For takes. */
  readonly heard?: HeardListener;
  /** Told every message that went out, just after, with the name of its port. The bytes are reused: copy them. */
  readonly onSent?: (port: string, bytes: Uint8Array) => void;
}

/** What was counted since the session began. */
export interface SessionCounters {
  drains: number;
  /** Faults of our own that were caught on the note path. */
  faults: number;
  /** Times an outlet was silenced and set up again because its port refused a message. */
  mends: number;
}

/**
 * A live session: inputs → one line → outlets, on ports that come and go. Everything from a driver's callback to the
 * driver's send is synchronous, and nothing thrown crosses it.
 *
 * It owns no timer: its owner calls `look` every `LOOK_MS`, and `tick` while `needsTick`.
 *
 * @example
 * const session = new LiveSession(STOCK_LIVE_SETTINGS, edges);
 * session.start();
 * …
 * session.stop();  // note-offs as sent, pedals up, all sound off, bends centred, ports closed
 */
export class LiveSession {
  readonly line: Line;
  /** From the driver's callback to the last send, in microseconds. */
  readonly latency = new Histogram();
  readonly counters: SessionCounters = { drains: 0, faults: 0, mends: 0 };
  readonly #edges: SessionEdges;
  #settings: LiveSettings;
  readonly #desk: PortDesk;
  /** Leeways chosen while it runs. */
  readonly #leeways = new Map<Strategy, number>();
  #nowMs = 0;
  #isRunning = false;
  #isTicking = false;
  #isHearing = false;
  /** What came in while something was being sent. No longer than the fuse lets it be. */
  readonly #echoes: { readonly input: LiveInput; readonly bytes: Uint8Array }[] = [];

  constructor(settings: LiveSettings, edges: SessionEdges) {
    this.#settings = settings;
    this.#edges = edges;
    this.#desk = new PortDesk(settings, edges.ports, {
      now: () => this.#now(),
      tell: edges.tell,
      toSink: (input) => this.#toSink(input),
      heard: (input, bytes) => this.#hear(input, bytes),
      lost: (input) => {
        input.letGo(this.line, this.#now());
        this.#settle();
      },
      onSent: edges.onSent,
      connected: () => this.#settle(),
      carriage: edges.carriage,
    });
    this.line = new Line(
      createTuner(settings.tuner),
      (part) => this.#desk.outletsOf(part),
      () => {},
      { ...edges.watcher, ...edges.ear },
    );
  }

  get settings(): LiveSettings {
    return this.#settings;
  }

  get inputs(): readonly LiveInput[] {
    return this.#desk.inputs;
  }

  get outlets(): readonly LiveOutlet[] {
    return this.#desk.outlets;
  }

  /** Whether a port of the settings is open. */
  isOpen(port: WantedPort): boolean {
    return this.#desk.isOpen(port);
  }

  /** The ports of the settings, in their order. */
  get wanted(): WantedPorts {
    return this.#desk.wanted;
  }

  /** Opens what is there. Does nothing the second time. */
  start(): void {
    if (this.#isRunning) return;
    this.#isRunning = true;
    this.look();
  }

  /** Silences everything and closes the ports. Does nothing the second time; never throws. */
  stop(): void {
    if (!this.#isRunning) return;
    this.#drainAll('stop');
    this.#isRunning = false;
    this.#desk.close();
  }

  /** Looks which ports came or went. Never throws. */
  look(): void {
    if (this.#isRunning) this.#guarded(() => this.#desk.look());
  }

  /** Does what is due in time. Never throws. */
  tick(): void {
    this.#guarded(() => {
      this.line.time(this.#now());
    });
    this.#settle();
    this.#isTicking = this.needsTick;
  }

  /** Whether anything is to be done by itself: a glide, a pull, a strike to close, a bend that waits for its cable. */
  get needsTick(): boolean {
    return nextWakeMs(this.line.tuner) !== Infinity || this.outlets.some((outlet) => outlet.isWaiting);
  }

  /** Everything silent at once, and fuses closed. */
  panic(): void {
    this.#drainAll('panic');
    for (const input of this.inputs) this.#closeFuse(input);
  }

  /** What the player chose for a strategy, in cents; `undefined`: its stock. */
  leewayOf(strategy: Strategy): number | undefined {
    return this.#leeways.get(strategy) ?? this.#settings.leewayCents;
  }

  /** The leeway of a strategy from now on, or from when it is changed to. */
  chooseLeeway(strategy: 'pull' | 'anchored', cents: number): void {
    this.#leeways.set(strategy, cents);
    const { tuner } = this.#settings;
    this.retell(withStrategy(tuner, tuner.strategy, this.leewayOf(tuner.strategy)));
  }

  /**
   * The tuner under other settings, from the next note on. Who pays may change while everything sounds on; where home,
   * the pitch or the primes change, what sounds is ended.
   */
  retell(settings: TunerSettings): void {
    const isGentle = isAdjustment(this.#settings.tuner, settings);
    if (!isGentle) this.#drainAll('settings');
    this.#settings = { ...this.#settings, tuner: settings };
    if (isGentle) this.#guarded(() => this.line.adjust(this.#now(), settings));
    else this.line.retell(settings);
    this.#settle();
    this.#edges.tell({ kind: 'retold', settings });
    this.#wakeIfNeeded();
  }

  /** New settings altogether: what sounds is ended; ports that are wanted as before stay open. */
  reload(settings: LiveSettings): void {
    this.#drainAll('settings');
    const isSameRoute = toRoute(settings) === toRoute(this.#settings);
    const isSameTake = settings.takeDirectory === this.#settings.takeDirectory;
    this.#settings = settings;
    this.#leeways.clear();
    this.line.retell(settings.tuner);
    if (!isSameRoute) this.#desk.rebuild(settings);
    for (const input of this.inputs) this.#closeFuse(input);
    this.#edges.tell({ kind: 'reloaded', settings });
    if (!isSameTake) this.#edges.tell({ kind: 'take-later', directory: settings.takeDirectory });
    this.look();
  }

  /** Does what a hand, a foot or the page asks for. */
  act(rule: Pick<ActionRule, 'action' | 'strategy'>): void {
    this.#edges.tell({ kind: 'acted', action: rule.action });
    this.#guarded(() =>
      act(this, this.#now(), rule, (strategy) => this.leewayOf(strategy), this.#edges.tell),
    );
    this.#settle();
    this.#wakeIfNeeded();
  }

  /** A whole message played without a port: on the page. Never throws. */
  playOnPage(bytes: Uint8Array): void {
    this.#hear(this.#desk.page, bytes);
  }

  /** Nothing is played on the page any more: what was left down there is let go. */
  leavePage(): void {
    this.#desk.page.letGo(this.line, this.#now());
    this.#settle();
  }

  /** A whole message of a piece that Leeway plays itself. Never throws. */
  playPiece(bytes: Uint8Array): void {
    this.#hear(this.#desk.piece, bytes);
  }

  /** The piece has come to its end: what was left down is let go. Never throws. */
  leavePiece(): void {
    this.#guarded(() => this.#desk.piece.letGo(this.line, this.#now()));
    this.#settle();
  }

  /** From the driver's callback. Never throws. */
  #hear(input: LiveInput, bytes: Uint8Array): void {
    if (this.#isHearing) {
      // Sent by us, back in before the send returned: not before this message is done.
      this.#echoes.push({ input, bytes });
      return;
    }
    this.#isHearing = true;
    try {
      this.#work(input, bytes);
      for (let echo = this.#echoes.shift(); echo !== undefined; echo = this.#echoes.shift()) {
        this.#work(echo.input, echo.bytes);
      }
    } finally {
      this.#isHearing = false;
    }
  }

  #work(input: LiveInput, bytes: Uint8Array): void {
    const fromMs = this.#edges.now();
    this.#guarded(() => input.feed(bytes));
    this.#settle();
    this.latency.add(Math.max(0, 1000 * (this.#edges.now() - fromMs)));
    this.#wakeIfNeeded();
  }

  #wakeIfNeeded(): void {
    if (this.#isTicking || !this.needsTick) return;
    this.#isTicking = true;
    this.#edges.wake();
  }

  #toSink(input: LiveInput): MidiSink {
    const { heard } = this.#edges;
    const { port } = input.wish;
    return {
      channel: (status, data1, data2) => {
        heard?.channel(this.#now(), port, status, data1, data2);
        this.#channel(input, status, data1, data2);
      },
      system: (bytes) => {
        heard?.system(this.#now(), port, bytes);
        if (!this.#passes(input) || !this.#settings.systemMessages) return;
        for (const outlet of input.outlets) outlet.system(bytes, this.#nowMs);
      },
    };
  }

  #channel(input: LiveInput, status: number, data1: number, data2: number): void {
    if (!this.#passes(input)) return;
    const asked = input.actions.ask(input.wish.port, status, data1, data2);
    if (asked.rule !== undefined) this.act(asked.rule);
    if (asked.taken) return;
    const channel = status & 0x0f;
    if (!input.isTuned(channel)) {
      input.pass(status, data1, data2);
      return;
    }
    const part = input.toPart(channel);
    const atMs = this.#now();
    for (const outlet of input.outlets) outlet.makeReady();
    input.introduce(channel, atMs);
    if (isKeyMessage(status, data2)) this.line.key(atMs, part, status, data1, data2);
    else this.line.control(atMs, part, status, data1, data2);
  }

  /** Counts a message against the input's fuse. */
  #passes(input: LiveInput): boolean {
    input.messages++;
    if (input.fuse.take(this.#now())) return true;
    if (input.fusedMessages++ === 0) {
      this.#drainAll('fuse');
      this.#edges.tell({ kind: 'fuse-open', input: input.wish.port, most: this.#settings.fuse });
    }
    return false;
  }

  #closeFuse(input: LiveInput): void {
    if (!input.fuse.isOpen) return;
    input.fuse.close();
    input.fusedMessages = 0;
    this.#edges.tell({ kind: 'fuse-closed', input: input.wish.port });
  }

  /** After every burst: an outlet whose port refused something is mended, and what waits for a slow cable goes on. */
  #settle(): void {
    for (const outlet of this.outlets) {
      if (outlet.sink.error !== undefined) this.#mend(outlet);
      outlet.flush(this.#nowMs);
    }
  }

  /** The receiver's state is in doubt: silences it and sets it up again; if that is refused too, the port is given up. */
  #mend(outlet: LiveOutlet): void {
    const { error, link } = outlet.sink;
    this.counters.mends++;
    if (link !== undefined) outlet.connect(link, this.#now());
    if (error === undefined || outlet.sink.error === undefined) {
      this.#edges.tell({ kind: 'mended', port: outlet.wish.port, error });
      return;
    }
    this.#desk.giveUp(outlet, outlet.sink.error);
  }

  #drainAll(cause: DrainCause): void {
    const atMs = this.#now();
    this.counters.drains++;
    this.#guarded(() => this.line.silenceAll(atMs));
    for (const outlet of this.outlets) this.#guarded(() => outlet.drain(atMs));
    this.#settle();
    this.#edges.tell({ kind: 'drained', cause });
  }

  /** Nothing thrown goes on: it is counted, and everything is silenced, since the state is in doubt. */
  #guarded(run: () => void): void {
    try {
      run();
    } catch (error) {
      this.counters.faults++;
      this.#silenceAfter(error);
    }
  }

  #silenceAfter(fault: unknown): void {
    const atMs = this.#now();
    try {
      this.line.restart();
      for (const outlet of this.outlets) outlet.drain(atMs);
      this.#edges.tell({ kind: 'fault', error: fault });
    } catch {
      // Even that failed: the counter tells of it.
      this.counters.faults++;
    }
  }

  /** Time never goes back for the session. */
  #now(): number {
    const now = this.#edges.now();
    if (now > this.#nowMs) this.#nowMs = now;
    return this.#nowMs;
  }
}
