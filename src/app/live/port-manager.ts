import type { RoutingListener } from '../../core/monitor/index.js';
import type { Outlet } from '../../core/outlet/index.js';
import { PERCUSSION_CHANNEL } from '../../core/score/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import {
  type OutputLink,
  PortReconnector,
  type PortSystem,
  type ReconnectorListener,
  type WantedPort,
} from '../../io/ports/index.js';
import { claims } from '../outlet-choice.js';
import { EchoWatch, type IsLamp } from './echo-watch.js';
import { toChannel, toInputIndex } from './input-parts.js';
import type { Lamps } from './lamps.js';
import { type InputSession, LiveInput } from './live-input.js';
import { LiveOutlet } from './live-outlet.js';
import { DEFAULT_INPUT, type InputConfig, type LiveSettings, roleOf } from './live-settings.js';
import { Incoming, SentMemory } from './sent-memory.js';
import type { SessionEvent } from './session-event.js';

/** What the manager needs of its session. */
export interface PortManagerHooks {
  /** The session's time, in milliseconds; never goes back. */
  readonly now: () => number;
  readonly inputSession: InputSession;
  readonly lamps: Pick<Lamps, 'connect' | 'disconnect' | 'isEcho'>;
  readonly received: (input: LiveInput, bytes: Uint8Array) => void;
  readonly lost: (input: LiveInput) => void;
  /** Called with every message sent by the port of this name; the bytes are reused. */
  readonly onSent: ((port: string, bytes: Uint8Array) => void) | undefined;
  /** An outlet was connected: check what its port refused. */
  readonly connected: () => void;
  readonly tell: (event: SessionEvent) => void;
  readonly routing?: RoutingListener | undefined;
}

/** The input without a port: the page. It plays every outlet. */
const PAGE: InputConfig = Object.freeze({ ...DEFAULT_INPUT, port: 'Page', virtual: false });

const ALL_CHANNELS: readonly number[] = Object.freeze(Array.from({ length: 16 }, (_, i) => i));

/** The input of the playing piece: its channels are the piece's alone. */
const PIECE: InputConfig = Object.freeze({ ...PAGE, port: 'Piece' });

/**
 * The inputs and outlets of a session, and their ports as they come and go. A port wanted before stays open when the
 * settings change.
 */
export class PortManager {
  readonly #hooks: PortManagerHooks;
  readonly #reconnector: PortReconnector;
  readonly #links = new Map<WantedPort, OutputLink>();
  #wanted: WantedPorts;
  #inputs: readonly LiveInput[] = [];
  #outlets: readonly LiveOutlet[] = [];
  #outletsByInput: readonly (readonly Outlet[])[] = [];

  constructor(settings: LiveSettings, ports: PortSystem, hooks: PortManagerHooks) {
    this.#hooks = hooks;
    this.#wanted = toWantedPorts(settings);
    this.#reconnector = new PortReconnector(ports, this.#wanted.all, this.#toListener());
    this.#build(settings);
  }

  /** Those of the settings, in their order, and at the end the page and the piece. */
  get inputs(): readonly LiveInput[] {
    return this.#inputs;
  }

  get page(): LiveInput {
    return this.#inputs[this.#inputs.length - 2];
  }

  get piece(): LiveInput {
    return this.#inputs[this.#inputs.length - 1];
  }

  get outlets(): readonly LiveOutlet[] {
    return this.#outlets;
  }

  get wanted(): WantedPorts {
    return this.#wanted;
  }

  /** The outlets of a part. Hot path. */
  outletsOf(part: number): readonly Outlet[] {
    return this.#outletsByInput[toInputIndex(part)] ?? NOTHING;
  }

  isOpen(port: WantedPort): boolean {
    return this.#reconnector.placeOf(port) !== undefined;
  }

  look(): void {
    this.#reconnector.look(this.#hooks.now());
  }

  /** Closes every port. Nothing is sent: drain first. */
  close(): void {
    this.#reconnector.close();
    this.#links.clear();
    for (const outlet of this.#outlets) outlet.sink.link = undefined;
  }

  /** Applies other settings, in silence. */
  rebuild(settings: LiveSettings): void {
    this.#wanted = toWantedPorts(settings, this.#wanted);
    for (const port of [...this.#links.keys()])
      if (!this.#wanted.all.includes(port)) this.#links.delete(port);
    this.#build(settings);
    this.#reconnector.want(this.#wanted.all);
  }

  /** The port of an outlet takes no messages: closes it, and tries again after a while. */
  giveUp(outlet: LiveOutlet, refusal: LeewayError): void {
    const port = this.#wanted.outlets[this.#outlets.indexOf(outlet)];
    this.#links.delete(port);
    outlet.disconnect(this.#hooks.now());
    this.#reconnector.drop(port, refusal, this.#hooks.now());
  }

  /** As {@link giveUp}, for the port of lamps. */
  giveUpLamps(name: string, refusal: LeewayError): void {
    const port = this.#wanted.lamps.find((one) => one.name === name);
    if (port !== undefined) this.#reconnector.drop(port, refusal, this.#hooks.now());
  }

  #toListener(): ReconnectorListener {
    const { now, received, lost, connected, lamps, tell } = this.#hooks;
    const inputOf = (port: WantedPort) => this.#inputs[this.#wanted.inputs.indexOf(port)];
    const outletOf = (port: WantedPort) => this.#outlets[this.#wanted.outlets.indexOf(port)];
    return {
      bytes: (port, bytes) => {
        const input = inputOf(port);
        if (input !== undefined) received(input, bytes);
      },
      opened: (port, place, link) => {
        if (link !== undefined) {
          this.#links.set(port, link);
          outletOf(port)?.connect(link);
          if (this.#wanted.lamps.includes(port)) lamps.connect(port.name, link);
          connected();
        }
        tell({ kind: 'opened', port, place });
      },
      lost: (port, place) => {
        this.#links.delete(port);
        const input = inputOf(port);
        if (this.#wanted.lamps.includes(port)) lamps.disconnect(port.name);
        else if (port.direction === 'output') outletOf(port)?.disconnect(now());
        else if (input !== undefined) lost(input);
        tell({ kind: 'lost', port, place });
      },
      waiting: (port, error) => tell({ kind: 'waiting', port, error }),
      failed: (port, error) => tell({ kind: 'failed', port, error }),
    };
  }

  /** Makes inputs and outlets by the settings; an open link passes to its new outlet. */
  #build({ inputs, outlets, actions, fuse }: LiveSettings): void {
    const { now, onSent, routing, inputSession, lamps } = this.#hooks;
    const incoming = new Incoming();
    const memories = new Map<LiveOutlet, SentMemory>();
    this.#outlets = outlets.map((config, i) => {
      const outlet = new LiveOutlet(config, toChannel, i === 0 ? routing : undefined);
      const memory = new SentMemory(incoming, now);
      memories.set(outlet, memory);
      outlet.sink.memory = memory;
      if (onSent !== undefined) outlet.sink.onSent = (bytes) => onSent(config.port, bytes);
      return outlet;
    });
    this.#inputs = [...inputs, PAGE, PIECE].map((config, index) => {
      const hasPort = config !== PAGE && config !== PIECE;
      const its = this.#outlets.filter(
        ({ config: { from } }) => !hasPort || from === undefined || from.includes(config.port),
      );
      // Percussion has no pitch to tune. It passes where the outlet leaves its channel alone.
      const untuned =
        config.channels === undefined && config.role === 'tuned'
          ? its.filter((outlet) => !claims(outlet.config, PERCUSSION_CHANNEL))
          : its;
      if (config !== PIECE)
        for (const outlet of untuned) for (const channel of toPassed(config)) outlet.mayPass(channel);
      const heard = its.map((outlet) => memories.get(outlet)!);
      const isLamp: IsLamp = (nowMs, status, data1, data2) =>
        lamps.isEcho(config.port, nowMs, status, data1, data2);
      const watch = hasPort ? new EchoWatch(heard, incoming, isLamp) : undefined;
      const route = {
        all: its,
        outlets: config.role === 'tuned' ? its : [],
        untuned,
        playersOf: (outlet: LiveOutlet) => this.#inputs.filter((input) => input.outlets.includes(outlet)),
        watch,
      };
      return new LiveInput(config, index, route, actions, fuse, inputSession);
    });
    this.#outletsByInput = this.#inputs.map((input) => input.outlets.map(({ outlet }) => outlet));
    this.#wanted.outlets.forEach((port, i) => {
      const link = this.#links.get(port);
      if (link !== undefined) this.#outlets[i].connect(link);
    });
  }
}

/** The channels of an input whose messages pass as they came. */
function toPassed(config: InputConfig): readonly number[] {
  return ALL_CHANNELS.filter((channel) => ['untuned', 'fixed'].includes(roleOf(config, channel)));
}

const NOTHING: readonly Outlet[] = Object.freeze([]);

/** The ports a session wants, in the order of its settings. */
export interface WantedPorts {
  readonly inputs: readonly WantedPort[];
  readonly outlets: readonly WantedPort[];
  /** Each once, though it may have many lamps. */
  readonly lamps: readonly WantedPort[];
  readonly all: readonly WantedPort[];
}

/**
 * The ports the settings want. A port wanted before is the same object again, so that it can stay open.
 * @param before the ports wanted so far
 */
export function toWantedPorts(settings: LiveSettings, before?: WantedPorts): WantedPorts {
  const toPort = (direction: WantedPort['direction'], name: string, own: boolean): WantedPort =>
    before?.all.find((one) => one.direction === direction && one.name === name && one.own === own) ?? {
      direction,
      name,
      own,
    };
  const inputs = settings.inputs.map(({ port, virtual }) => toPort('input', port, virtual));
  const outlets = settings.outlets.map(({ port, virtual }) => toPort('output', port, virtual));
  const lamped = new Map(settings.lamps.map(({ port, virtual }) => [port, virtual]));
  const lamps = Array.from(lamped, ([port, virtual]) => toPort('output', port, virtual));
  return { inputs, outlets, lamps, all: [...inputs, ...outlets, ...lamps] };
}
