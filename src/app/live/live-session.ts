import { Line } from '../../core/line/index.js';
import { createTuner, nextWakeMs, type Strategy, type TunerSettings } from '../../core/tuner/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import { act } from './act.js';
import type { Histogram } from './histogram.js';
import { ForwardTime, type GuardCounters, LiveGuard } from './live-guard.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import { type Asked, hasSameRoute, type LiveSettings, withStrategy } from './live-settings.js';
import { PortManager, type WantedPorts } from './port-manager.js';
import type { SessionEdges } from './session-edges.js';

/** How often the ports are checked, in milliseconds. */
export const LOOK_MS = 250;
/** How often it is called while something is to be done in time, while a slow cable has something to carry, or a chord gathers. */
export const TICK_MS = 10;
const CABLE_TICK_MS = 2;
const GATHER_TICK_MS = 1;

/**
 * A live session: inputs → one line → outlets, on ports that come and go. Everything from a driver's callback to the
 * driver's send is synchronous, and nothing thrown crosses it. It has no timer: its owner calls `look` every `LOOK_MS`,
 * and `tick` every `tickMs` while `needsTick`.
 *
 * @example
 * const session = new LiveSession(DEFAULT_LIVE_SETTINGS, edges);
 * session.start();
 * session.stop();  // note-offs as sent, pedals up, all sound off, bends centred, ports closed
 */
export class LiveSession {
  readonly line: Line;
  readonly #edges: SessionEdges;
  #settings: LiveSettings;
  readonly #time: ForwardTime;
  readonly #guard: LiveGuard;
  readonly #ports: PortManager;
  /** Leeways chosen while it runs. */
  readonly #leeways = new Map<Strategy, number>();
  #isRunning = false;
  #tickingMs = Infinity;

  constructor(settings: LiveSettings, edges: SessionEdges) {
    const { tell } = edges;
    this.#settings = settings;
    this.#edges = edges;
    const time = new ForwardTime(edges.now);
    const now = () => time.now();
    const line = new Line(
      createTuner(settings.tuner),
      (part) => this.#ports.routes.outletsOf(part),
      edges.listener,
    );
    const guard = new LiveGuard({
      line,
      time,
      clock: edges.now,
      inputs: () => this.inputs,
      outlets: () => this.outlets,
      giveUp: (outlet, refusal) => this.#ports.giveUp(outlet, refusal),
      received: () => this.#wakeIfNeeded(),
      tell,
    });
    this.#time = time;
    this.line = line;
    this.#guard = guard;
    this.#ports = new PortManager(settings, edges.ports, {
      now,
      tell,
      line,
      inputSession: {
        now,
        listener: edges.inputListener,
        passesSystem: () => this.#settings.systemMessages,
        act: (rule) => this.act(rule),
        closed: ({ config: { port } }, why) => {
          guard.drainAll(why.kind === 'rate' ? 'fuse' : 'loop');
          if (why.kind === 'rate') tell({ kind: 'fuse-open', input: port, most: this.#settings.fuse });
          else tell({ kind: 'loop-found', input: port, outlet: why.outlet.config.port });
        },
      },
      received: (input, bytes) => guard.receive(input, bytes),
      lost: (input) => {
        input.release(time.now());
        guard.settle();
      },
      onSent: edges.onSent,
      connected: () => guard.settle(),
      routing: edges.routing,
    });
  }

  /** From the driver's callback to the last send, in microseconds. */
  get latency(): Histogram {
    return this.#guard.latency;
  }

  get counters(): Readonly<GuardCounters> {
    return this.#guard.counters;
  }

  get settings(): LiveSettings {
    return this.#settings;
  }

  get inputs(): readonly LiveInput[] {
    return this.#ports.routes.inputs;
  }

  get outlets(): readonly LiveOutlet[] {
    return this.#ports.routes.outlets;
  }

  /** Whether a port of the settings is open. */
  isOpen(port: WantedPort): boolean {
    return this.#ports.isOpen(port);
  }

  get wanted(): WantedPorts {
    return this.#ports.wanted;
  }

  /** Opens the available ports. Does nothing the second time. */
  start(): void {
    if (this.#isRunning) return;
    this.#isRunning = true;
    this.look();
  }

  /** Silences everything and closes the ports. Does nothing the second time; never throws. */
  stop(): void {
    if (!this.#isRunning) return;
    this.#guard.drainAll('stop');
    this.#isRunning = false;
    this.#ports.close();
  }

  /** Checks which ports came or went. Never throws. */
  look(): void {
    if (this.#isRunning) this.#guard.run(() => this.#ports.look());
  }

  /** Does what is due by now. Never throws. */
  tick(): void {
    this.#guard.run(() => {
      this.line.time(this.#time.now());
    });
    this.#guard.settle();
    this.#tickingMs = this.tickMs;
  }

  /** Whether anything will be due by itself: a glide, a pull, a strike to close, a message that waits. */
  get needsTick(): boolean {
    return this.tickMs !== Infinity;
  }

  /** How often it wants to be called, in milliseconds; Infinity while nothing will be due. */
  get tickMs(): number {
    if (this.outlets.some(({ cable }) => cable.isWaiting))
      return this.#settings.waitMs > 0 ? GATHER_TICK_MS : CABLE_TICK_MS;
    return nextWakeMs(this.line.tuner) === Infinity ? Infinity : TICK_MS;
  }

  /** Silences everything at once, and opens closed inputs again. */
  panic(): void {
    this.#guard.drainAll('panic');
    this.#reopenInputs();
  }

  /** The player's leeway for a strategy, in cents; `undefined`: the default. */
  leewayOf(strategy: Strategy): number | undefined {
    return this.#leeways.get(strategy) ?? this.#settings.leewayCents;
  }

  /** Sets the leeway of a strategy, which counts now or once that strategy is chosen. */
  chooseLeeway(strategy: 'pull' | 'anchored', cents: number): void {
    this.#leeways.set(strategy, cents);
    const { tuner } = this.#settings;
    this.changeTuning(withStrategy(tuner, tuner.strategy, this.leewayOf(tuner.strategy)));
  }

  /**
   * Changes the tuner's settings from the next note on. What sounds goes on, and glides where another pitch is asked.
   */
  changeTuning(settings: TunerSettings): void {
    this.#settings = { ...this.#settings, tuner: settings };
    this.#guard.run(() => this.line.take({ kind: 'settings', atMs: this.#time.now(), settings }));
    this.#guard.settle();
    this.#edges.tell({ kind: 'tuning-changed', settings });
    this.#wakeIfNeeded();
  }

  /**
   * Changes all settings. Sounding notes continue where ports and rules are as before; else they end, and ports wanted
   * before stay open.
   */
  reload(settings: LiveSettings): void {
    const isSameRoute = hasSameRoute(settings, this.#settings);
    if (!isSameRoute) this.#guard.drainAll('settings');
    const isSameTake = settings.takeDirectory === this.#settings.takeDirectory;
    this.#settings = settings;
    this.#leeways.clear();
    this.#guard.run(() =>
      this.line.take({ kind: 'settings', atMs: this.#time.now(), settings: settings.tuner }),
    );
    this.#guard.settle();
    if (!isSameRoute) this.#ports.rebuild(settings);
    this.#reopenInputs();
    this.#edges.tell({ kind: 'reloaded', settings });
    if (!isSameTake) this.#edges.tell({ kind: 'take-later', directory: settings.takeDirectory });
    this.look();
    this.#wakeIfNeeded();
  }

  /** Carries out an action by hand, by foot or from the page. */
  act(asked: Asked): void {
    this.#edges.tell({ kind: 'acted', action: asked.action });
    this.#guard.run(() =>
      act(this, this.#time.now(), asked, (strategy) => this.leewayOf(strategy), this.#edges.tell),
    );
    this.#guard.settle();
    this.#wakeIfNeeded();
  }

  /** Plays a whole message without a port: from the page. Never throws. */
  playOnPage(bytes: Uint8Array): void {
    this.#guard.receive(this.#ports.routes.page, bytes);
  }

  /** Plays a whole message of a piece. Never throws. */
  playPiece(bytes: Uint8Array): void {
    this.#guard.receive(this.#ports.routes.piece, bytes);
  }

  /** The piece is over: keys left down are released. Never throws. */
  leavePiece(): void {
    this.#guard.run(() => this.#ports.routes.piece.release(this.#time.now()));
    this.#guard.settle();
  }

  #reopenInputs(): void {
    for (const input of this.inputs)
      if (input.reopen(this.#time.now()))
        this.#edges.tell({ kind: 'input-reopened', input: input.config.port });
  }

  /** Asks for ticks, or for quicker ones. */
  #wakeIfNeeded(): void {
    const { tickMs } = this;
    if (this.#tickingMs <= tickMs) return;
    this.#tickingMs = tickMs;
    this.#edges.wake();
  }
}
