import type { LineListener } from '../../core/line/index.js';
import type { RoutingListener, SessionFacts } from '../../core/monitor/index.js';
import type { Strategy } from '../../core/tuner/index.js';
import type { Clock, Ticker, VitalSigns } from '../../io/clock/index.js';
import { type EventQueue, type ServerConfig, ServerSupervisor } from '../../io/server/index.js';
import type { Story } from '../story/story.js';
import { type LiveFigures, readFigures } from './live-figures.js';
import type { LiveSession } from './live-session.js';
import { withStrategy } from './live-settings.js';
import { PageOrders, type ViewerMessage } from './page-orders.js';
import type { NamedPiece } from './piece-stretch.js';
import type { SessionEvent } from './session-event.js';

/** How often the feed gets the time, and how often the state of the session, in milliseconds. */
const TIME_MS = 25;
const FIGURES_MS = 500;

/** Address and features of the page. */
export type PageConfig = Omit<ServerConfig, 'settings' | 'facts' | 'pieces'> & {
  readonly pieces: readonly NamedPiece[];
  readonly stories: readonly Story[];
};

/** Notifies the page's owner. */
export interface PageHooks {
  readonly clock: Clock;
  readonly vitals: () => VitalSigns;
  /** The server has gone and restarts after a pause, or is back. */
  readonly lost: (reason: string, pauseMs: number) => void;
  readonly back: () => void;
  /** The relay is lost, with why, or is back (`undefined`). */
  readonly relay: (lost: string | undefined) => void;
}

/**
 * A session on the page: reports the session to the server, and gives it the orders of viewers. Give the session
 * `listener` and `routing`, pass every event of the session to `told`, and open the page before the session starts.
 */
export class LivePage {
  readonly listener: LineListener;
  readonly routing: RoutingListener;
  readonly orders: PageOrders;
  /** Where onlookers open the page, the best address first; viewers are told of a change. */
  addresses: readonly string[] = [];
  readonly #config: PageConfig;
  readonly #hooks: PageHooks;
  #session: LiveSession | undefined;
  #server: ServerSupervisor | undefined;
  #queue: EventQueue | undefined;
  #tickers: Ticker[] = [];
  #sentFacts = '';

  constructor(config: PageConfig, hooks: PageHooks) {
    this.#config = config;
    this.#hooks = hooks;
    const { clock } = hooks;
    this.orders = new PageOrders(config.pieces, config.stories, {
      clock,
      session: () => this.#session,
      tell: (message) => this.#queue?.tell(message),
      hear: (session, strategy) => this.#hear(session, strategy),
    });
    this.listener = {
      event: (event) => {
        if (event.kind === 'settings') this.#queue?.tell({ ...event, facts: this.#readFacts() });
        else this.#queue?.event(event);
      },
      resume: (note) => this.#queue?.resumed(note.id),
    };
    this.routing = {
      noteSent: (channel) => this.#queue?.noteSent(channel),
      bendSent: (channel, bend) => this.#queue?.bendSent(channel, bend),
    };
  }

  /**
   * Serves the page. Rejects with a LeewayError if it can't: PAGE_PORT, PAGE_ADDRESS, PAGE_MISSING.
   * @returns the port it is at
   */
  async open(session: LiveSession): Promise<number> {
    this.#session = session;
    const { clock, lost, back, relay } = this.#hooks;
    const facts = this.#readFacts();
    const server = new ServerSupervisor(
      {
        ...this.#config,
        pieces: this.#config.pieces.map(({ name, title }) => ({ name, title })),
        settings: session.settings.tuner,
        facts,
      },
      {
        order: (message) => this.#take(message),
        back: () => {
          this.orders.tellAgain();
          back();
        },
        relay,
        lost: (reason, pauseMs) => {
          this.orders.leaveAll();
          lost(reason, pauseMs);
        },
      },
    );
    this.#server = server;
    const port = await server.open();
    this.#queue = server.queue;
    this.#sentFacts = JSON.stringify(facts);
    this.#tickers = [
      clock.every(TIME_MS, () => this.#tellTime()),
      clock.every(FIGURES_MS, () => this.#tellFigures()),
    ];
    return port;
  }

  /** The token needed to play and control. */
  get token(): string {
    return this.#config.token;
  }

  /** Where it is also published. */
  get relay(): PageConfig['relay'] {
    return this.#config.relay;
  }

  /** Starts a piece, built in or sent last. @returns whether there is one of that name */
  play(name: string, tempo: number, loop: boolean): boolean {
    return this.orders.pieces.start(name, { tempo, loop });
  }

  told(event: SessionEvent): void {
    if (event.kind === 'drained' && event.cause === 'panic') this.orders.pieces.player.stop();
  }

  notice(level: 'info' | 'warning' | 'error', text: string): void {
    if (text !== '') this.#queue?.tell({ kind: 'notice', level, text });
  }

  /** Stops the piece and releases all keys of the page. Does nothing the second time. */
  silence(): void {
    this.orders.silence();
    for (const ticker of this.#tickers.splice(0)) ticker.stop();
  }

  async close(): Promise<void> {
    this.silence();
    this.#queue = undefined;
    await this.#server?.close();
  }

  /** The server, for tests that kill it. */
  get server(): ServerSupervisor | undefined {
    return this.#server;
  }

  #take(message: ViewerMessage): void {
    const refusal = this.orders.take(message);
    if (refusal !== undefined)
      this.#queue?.tell({ kind: 'answer', viewer: message.viewer, message: { type: 'refused', ...refusal } });
  }

  /**
   * Switches to a strategy as its replica has it, which has taken the same notes from the start. Where the server has missed
   * messages there is none: then the strategy continues from the present state.
   */
  #hear(session: LiveSession, strategy: Strategy): void {
    this.#tellFacts();
    const tuner = this.#server?.toTuner(strategy);
    if (tuner === undefined) session.act({ action: 'strategy', strategy });
    else {
      session.hearing.adopt(tuner);
      this.#queue?.tell({ kind: 'heard', settings: tuner.settings, facts: this.#readFacts() });
    }
  }

  #tellTime(): void {
    this.#tellFacts();
    this.#queue?.event({ kind: 'time', atMs: this.#hooks.clock.now() });
  }

  #tellFacts(): void {
    const facts = this.#readFacts();
    const text = JSON.stringify(facts);
    if (text === this.#sentFacts) return;
    this.#sentFacts = text;
    this.#queue?.tell({ kind: 'facts', atMs: this.#hooks.clock.now(), facts });
  }

  #tellFigures(): void {
    const session = this.#session;
    if (session === undefined) return;
    const figures = readFigures(session, this.#hooks.vitals());
    this.#queue?.tell({ kind: 'figures', counters: toCounters(session, figures), health: figures });
  }

  #readFacts(): SessionFacts {
    const session = this.#session!;
    const { wanted, settings, line } = session;
    const [outlet] = settings.outlets;
    const leewayOf = (strategy: 'pull' | 'anchored') =>
      withStrategy(settings.tuner, strategy, session.tuning.leewayOf(strategy)).leewayCents;
    const open = (ports: typeof wanted.all) =>
      ports.filter((port) => session.isOpen(port)).map(({ name }) => name);
    return {
      leewayCents: { pull: leewayOf('pull'), anchored: leewayOf('anchored') },
      bypass: line.isBypassed,
      stories: this.orders.stories,
      inputs: open(wanted.inputs),
      outputs: open(wanted.outlets),
      addresses: this.addresses,
      carries: outlet === undefined ? 'nothing' : outlet.kind === 'mts' ? 'channel' : 'channel and bend',
    };
  }
}

function toCounters(session: LiveSession, { latency, outlets }: LiveFigures) {
  const sum = (of: (notes: LiveFigures['outlets'][number]['notes']) => number) =>
    outlets.reduce((total, { notes }) => total + of(notes), 0);
  const toMs = (micros: number) => Math.round(micros) / 1000;
  return {
    medianMs: toMs(latency.p50),
    p99Ms: toMs(latency.p99),
    worstMs: toMs(latency.worst),
    notes: 0,
    queued: session.outlets.filter(({ cable }) => cable.isWaiting).length,
    clampedBends: sum((notes) => notes.clampedBends),
    sharedNotes: sum((notes) => notes.sharedNotes),
    foldedNotes: sum((notes) => notes.foldedNotes),
  };
}
