import type { LeewayError } from '../../io/leeway-error.js';
import {
  type OutputLink,
  PortReconnector,
  type PortSystem,
  type ReconnectorListener,
  type WantedPort,
} from '../../io/ports/index.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import type { LiveSettings } from './live-settings.js';
import { type RouteHooks, Routes } from './routes.js';
import type { SessionEvent } from './session-event.js';

/** What the manager needs of its session. */
export interface PortManagerHooks extends RouteHooks {
  readonly received: (input: LiveInput, bytes: Uint8Array) => void;
  readonly lost: (input: LiveInput) => void;
  /** An outlet was connected: check what its port refused. */
  readonly connected: () => void;
  readonly tell: (event: SessionEvent) => void;
}

/**
 * The inputs and outlets of a session, and their ports as they come and go. A port wanted before stays open when the
 * settings change.
 */
export class PortManager {
  readonly #hooks: PortManagerHooks;
  readonly #reconnector: PortReconnector;
  readonly #links = new Map<WantedPort, OutputLink>();
  #wanted: WantedPorts;
  #routes: Routes;

  constructor(settings: LiveSettings, ports: PortSystem, hooks: PortManagerHooks) {
    this.#hooks = hooks;
    this.#wanted = toWantedPorts(settings);
    this.#reconnector = new PortReconnector(ports, this.#wanted.all, this.#toListener());
    this.#routes = new Routes(settings, this.#wanted.outlets, hooks);
  }

  get routes(): Routes {
    return this.#routes;
  }

  get wanted(): WantedPorts {
    return this.#wanted;
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
    for (const cable of this.#routes.cables.values()) cable.sink.link = undefined;
  }

  /** Applies other settings, in silence. */
  rebuild(settings: LiveSettings): void {
    this.#wanted = toWantedPorts(settings, this.#wanted);
    for (const port of [...this.#links.keys()])
      if (!this.#wanted.all.includes(port)) this.#links.delete(port);
    this.#routes = new Routes(settings, this.#wanted.outlets, this.#hooks, this.#routes);
    for (const [port, cable] of this.#routes.cables) {
      const link = this.#links.get(port);
      if (link !== undefined) cable.connect(link);
    }
    this.#reconnector.want(this.#wanted.all);
  }

  /** The port of an outlet takes no messages: closes it, and tries again after a while. */
  giveUp(outlet: LiveOutlet, refusal: LeewayError): void {
    const port = this.#wanted.outlets[this.#routes.outlets.indexOf(outlet)];
    this.#links.delete(port);
    outlet.cable.disconnect(this.#hooks.now());
    this.#reconnector.drop(port, refusal, this.#hooks.now());
  }

  /** As {@link giveUp}, for the port of lamps. */
  giveUpLamps(name: string, refusal: LeewayError): void {
    const port = this.#wanted.lamps.find((one) => one.name === name);
    if (port !== undefined) this.#reconnector.drop(port, refusal, this.#hooks.now());
  }

  #toListener(): ReconnectorListener {
    const { now, received, lost, connected, lamps, tell } = this.#hooks;
    const inputOf = (port: WantedPort) => this.#routes.inputs[this.#wanted.inputs.indexOf(port)];
    const cableOf = (port: WantedPort) => this.#routes.cables.get(port);
    return {
      bytes: (port, bytes) => {
        const input = inputOf(port);
        if (input !== undefined) received(input, bytes);
      },
      opened: (port, place, link) => {
        if (link !== undefined) {
          this.#links.set(port, link);
          cableOf(port)?.connect(link);
          if (this.#wanted.lamps.includes(port)) lamps.connect(port.name, link);
          connected();
        }
        tell({ kind: 'opened', port, place });
      },
      lost: (port, place) => {
        this.#links.delete(port);
        const input = inputOf(port);
        if (this.#wanted.lamps.includes(port)) lamps.disconnect(port.name);
        else if (port.direction === 'output') cableOf(port)?.disconnect(now());
        else if (input !== undefined) lost(input);
        tell({ kind: 'lost', port, place });
      },
      waiting: (port, error) => tell({ kind: 'waiting', port, error }),
      failed: (port, error) => tell({ kind: 'failed', port, error }),
    };
  }
}

/** The ports a session wants, in the order of its settings. Outlets on one port have the same. */
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
export function toWantedPorts({ inputs, outlets, lamps }: LiveSettings, before?: WantedPorts): WantedPorts {
  const all: WantedPort[] = [];
  const toPort = (direction: WantedPort['direction'], name: string, own: boolean): WantedPort => {
    const isIt = (one: WantedPort) => one.direction === direction && one.name === name && one.own === own;
    const known = all.find(isIt);
    if (known !== undefined) return known;
    const port = before?.all.find(isIt) ?? { direction, name, own };
    all.push(port);
    return port;
  };
  return {
    inputs: inputs.map(({ port, virtual }) => toPort('input', port, virtual)),
    outlets: outlets.map(({ port, virtual }) => toPort('output', port, virtual)),
    lamps: [...new Set(lamps.map(({ port, virtual }) => toPort('output', port, virtual)))],
    all,
  };
}
