import { Line } from '../../core/line/index.js';
import { createTuner, nextWakeMs } from '../../core/tuner/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import { act } from './act.js';
import { toRefusal } from './cable.js';
import { CurrentTuning } from './current-tuning.js';
import { Hearing } from './hearing.js';
import type { Histogram } from './histogram.js';
import { ForwardTime, type GuardCounters, LiveGuard } from './live-guard.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import { type Asked, hasSameRoute, type LiveSettings } from './live-settings.js';
import { PortManager, type WantedPorts } from './port-manager.js';
import type { SessionEdges } from './session-edges.js';
import type { SessionEvent } from './session-event.js';
import { Surface } from './surface.js';

/** How often the ports are checked, in milliseconds. */
export const LOOK_MS = 250;
/** How often it is called while something is to be done in time, while a slow cable has something to carry, or a chord gathers. */
export const TICK_MS = 10;
const CABLE_TICK_MS = 2;
const GATHER_TICK_MS = 1;

/**
 * A live session: inputs → one line → outlets, on ports that come and go. Everything from a driver's callback to the
 * driver's send is synchronous, and nothing thrown crosses it. It has no timer: its owner calls `look` every `LOOK_MS`,
 * and `tick` every `tickMs`.
 *
 * @example
 * const session = new LiveSession(DEFAULT_LIVE_SETTINGS, edges);
 * session.start();
 * session.stop();  // note-offs as sent, pedals up, all sound off, bends centred, ports closed
 */
export class LiveSession {
  readonly line: Line;
  readonly tuning: CurrentTuning;
  readonly surface: Surface;
  readonly hearing: Hearing;
  readonly #edges: SessionEdges;
  readonly #time: ForwardTime;
  readonly #guard: LiveGuard;
  readonly #ports: PortManager;
  #isRunning = false;
  #tickingMs = Infinity;

  constructor(settings: LiveSettings, edges: SessionEdges) {
    const tell = (event: SessionEvent) => this.#tell(event);
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
    this.tuning = new CurrentTuning(settings, {
      take: (tuner) => this.#run(() => line.take({ kind: 'settings', atMs: now(), settings: tuner })),
      tell,
    });
    this.surface = new Surface(settings, {
      line,
      inputs: () => this.inputs,
      outlets: () => this.outlets,
      preset: () => this.tuning.preset,
      refused: (port, error) => this.#ports.giveUpLamps(port, toRefusal(error)),
    });
    this.#ports = new PortManager(settings, edges.ports, {
      now,
      tell,
      line,
      inputSession: {
        now,
        listener: edges.inputListener,
        passesSystem: () => this.settings.systemMessages,
        act: (rule, from) => this.act(rule, from),
        knobs: this.surface.knobs,
        zoned: ({
          config: { port: input },
          zones: {
            members: [lower, upper],
          },
        }) => tell({ kind: 'zones-told', input, lower, upper }),
        closed: ({ config: { port } }, why) => {
          guard.drainAll(why.kind === 'rate' ? 'fuse' : 'loop');
          if (why.kind === 'rate') tell({ kind: 'fuse-open', input: port, most: this.settings.fuse });
          else tell({ kind: 'loop-found', input: port, outlet: why.outlet.config.port });
        },
      },
      received: (input, bytes) => guard.receive(input, bytes),
      lost: (input) => this.#run(() => input.release(now())),
      onSent: edges.onSent,
      connected: () => guard.settle(),
      lamps: this.surface.lamps,
      routing: edges.routing,
    });
    this.hearing = new Hearing({
      line,
      now,
      tuning: this.tuning,
      inputs: () => this.inputs,
      piece: () => this.#ports.routes.piece,
      outletPorts: () => this.#ports.wanted.outlets,
      run: (what) => {
        this.#run(what);
        this.#wakeIfNeeded();
      },
      tell,
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
    return this.tuning.settings;
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

  /** Silences everything, turns lamps off, closes the ports. Does nothing the second time; never throws. */
  stop(): void {
    if (!this.#isRunning) return;
    this.tuning.tellTurned();
    this.#isRunning = false;
    this.#guard.drainAll('stop');
    this.surface.lamps.darken();
    this.#ports.close();
  }

  /** Checks which ports came or went. Never throws. */
  look(): void {
    if (!this.#isRunning) return;
    this.#guard.run(() => this.#ports.look());
    this.tuning.tellTurned();
  }

  /** Does what is due by now. Never throws. */
  tick(): void {
    const atMs = this.#time.now();
    this.#run(() => {
      this.line.time(atMs);
      this.tuning.turn(this.surface.knobs);
      this.surface.play(atMs);
    });
    this.#guard.run(() => this.surface.show(atMs));
    this.#tickingMs = this.tickMs;
  }

  /**
   * How often it wants to be called, in milliseconds; Infinity while nothing will be due by itself: no glide, strike to
   * close, message that waits, knob, lamp or cue.
   */
  get tickMs(): number {
    if (this.outlets.some(({ cable }) => cable.isWaiting))
      return this.settings.waitMs > 0 ? GATHER_TICK_MS : CABLE_TICK_MS;
    if (this.line.isGliding || (this.#isRunning && this.surface.isDue)) return TICK_MS;
    return nextWakeMs(this.line.tuner) === Infinity ? Infinity : TICK_MS;
  }

  /** Silences everything at once, and opens closed inputs again. */
  panic(): void {
    this.#guard.drainAll('panic');
    this.#reopenInputs();
  }

  /**
   * Changes all settings. Sounding notes continue where ports and rules are as before; else they end, and ports wanted
   * before stay open.
   */
  reload(settings: LiveSettings): void {
    const isSameRoute = hasSameRoute(settings, this.settings);
    if (!isSameRoute) this.#guard.drainAll('settings');
    const isSameTake = settings.takeDirectory === this.settings.takeDirectory;
    this.surface.want(settings);
    this.tuning.replace(settings);
    if (!isSameRoute) this.#ports.rebuild(settings);
    this.#reopenInputs();
    this.#tell({ kind: 'reloaded', settings });
    if (!isSameTake) this.#tell({ kind: 'take-later', directory: settings.takeDirectory });
    this.look();
  }

  /** Carries out an action by hand, by foot or from the page. @param from the input that asked, if one did */
  act(asked: Asked, from?: LiveInput): void {
    this.#tell({ kind: 'acted', action: asked.action });
    this.#run(() => act(this, this.#time.now(), asked, from, (event) => this.#tell(event)));
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

  /** The piece is over: keys left down are released, and the next has zones of its own. Never throws. */
  leavePiece(): void {
    this.#run(() => this.#ports.routes.piece.end(this.#time.now()));
  }

  #reopenInputs(): void {
    for (const input of this.inputs)
      if (input.reopen(this.#time.now())) this.#tell({ kind: 'input-reopened', input: input.config.port });
  }

  #tell(event: SessionEvent): void {
    if (event.kind === 'drained' || event.kind === 'fault') this.surface.silenced();
    this.#edges.tell(event);
    this.#wakeIfNeeded();
  }

  /** Runs something between bursts, and sends what it leaves waiting. */
  #run(what: () => void): void {
    this.#guard.run(what);
    this.#guard.settle();
  }

  /** Something has happened: asks for ticks, or quicker ones, where they are needed. */
  #wakeIfNeeded(): void {
    this.surface.lamps.touch();
    const { tickMs } = this;
    if (!this.#isRunning || this.#tickingMs <= tickMs) return;
    this.#tickingMs = tickMs;
    this.#edges.wake();
  }
}
