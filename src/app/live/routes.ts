import type { Line } from '../../core/line/index.js';
import type { RoutingListener } from '../../core/monitor/index.js';
import type { Outlet } from '../../core/outlet/index.js';
import { PERCUSSION_CHANNEL } from '../../core/score/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import { Cable } from './cable.js';
import { EchoWatch, type IsLamp } from './echo-watch.js';
import { toChannel, toSplitIndex } from './input-parts.js';
import { InputSplit } from './input-split.js';
import { InputZones } from './input-zones.js';
import type { Lamps } from './lamps.js';
import { type InputSession, LiveInput } from './live-input.js';
import { LiveOutlet } from './live-outlet.js';
import { DEFAULT_INPUT, type InputConfig, type LiveSettings, type OutletConfig } from './live-settings.js';
import { Incoming, SentMemory } from './sent-memory.js';
import { playsSplit, roleOf, type SplitConfig, toSplits } from './split-settings.js';

/** What routes need of their session. */
export interface RouteHooks {
  /** The session's time, in milliseconds; never goes back. */
  readonly now: () => number;
  readonly line: Line;
  readonly inputSession: InputSession;
  readonly lamps: Pick<Lamps, 'connect' | 'disconnect' | 'isEcho'>;
  /** Called with every message sent by the port of this name; the bytes are reused. */
  readonly onSent: ((port: string, bytes: Uint8Array) => void) | undefined;
  readonly routing?: RoutingListener | undefined;
}

/** The input without a port: the page. It plays every outlet. */
const PAGE: InputConfig = Object.freeze({ ...DEFAULT_INPUT, port: 'Page', virtual: false });

/** The input of the playing piece: its channels are the piece's alone. */
const PIECE: InputConfig = Object.freeze({ ...PAGE, port: 'Piece' });

const ALL_CHANNELS: readonly number[] = Object.freeze(Array.from({ length: 16 }, (_, i) => i));
const NOTHING: readonly Outlet[] = Object.freeze([]);

/** The ways through a session: inputs and their splits, outlets and their cables, and who plays what. */
export class Routes {
  /** Those of the settings, in their order, and at the end the page and the piece. */
  readonly inputs: readonly LiveInput[];
  readonly outlets: readonly LiveOutlet[];
  /** By port: outlets on one port share it. */
  readonly cables: ReadonlyMap<WantedPort, Cable>;
  /** In the order of their parts. */
  readonly #splits: InputSplit[] = [];
  readonly #hooks: RouteHooks;
  readonly #outletsBySplit: readonly (readonly Outlet[])[];

  /**
   * @param ports  those of the outlets, in the order of the settings
   * @param before whose inputs may have told their MPE zones
   */
  constructor(settings: LiveSettings, ports: readonly WantedPort[], hooks: RouteHooks, before?: Routes) {
    this.#hooks = hooks;
    const { now, onSent, routing, inputSession, lamps } = hooks;
    const incoming = new Incoming();
    const memories = new Map<Cable, SentMemory>();
    const cables = new Map<WantedPort, Cable>();
    const toCable = (port: WantedPort, { wire }: OutletConfig): Cable => {
      const known = cables.get(port);
      if (known !== undefined) return known;
      const cable = new Cable(wire, settings.waitMs, now);
      const memory = new SentMemory(incoming, now);
      cables.set(port, cable);
      memories.set(cable, memory);
      cable.sink.memory = memory;
      if (onSent !== undefined) cable.sink.onSent = (bytes) => onSent(port.name, bytes);
      return cable;
    };
    this.cables = cables;
    this.outlets = settings.outlets.map(
      (config, i) =>
        new LiveOutlet(config, toChannel, toCable(ports[i], config), i === 0 ? routing : undefined),
    );
    this.inputs = [...settings.inputs, PAGE, PIECE].map((config) => {
      const hasPort = config !== PAGE && config !== PIECE;
      const splits = toSplits(settings.splits, config);
      const outletsOf = (...some: readonly SplitConfig[]) =>
        this.outlets.filter((one) => !hasPort || some.some((split) => playsSplit(one.config, split)));
      const all = toOneByCable(outletsOf(...splits));
      const isLamp: IsLamp = (nowMs, status, data1, data2) =>
        lamps.isEcho(config.port, nowMs, status, data1, data2);
      const heard = all.map(({ cable }) => memories.get(cable)!);
      const route = {
        splits: splits.map((split) =>
          this.#addSplit(config, split, split.isRest ? outletsOf(...splits) : outletsOf(split)),
        ),
        zones: toZones(config, before),
        all,
        watch: hasPort ? new EchoWatch(heard, incoming, isLamp) : undefined,
      };
      return new LiveInput(config, route, settings.actions, settings.fuse, inputSession);
    });
    this.#outletsBySplit = this.#splits.map((split) => split.outlets.map(({ outlet }) => outlet));
  }

  get page(): LiveInput {
    return this.inputs[this.inputs.length - 2];
  }

  get piece(): LiveInput {
    return this.inputs[this.inputs.length - 1];
  }

  /** The outlets of a part. Hot path. */
  outletsOf(part: number): readonly Outlet[] {
    return this.#outletsBySplit[toSplitIndex(part)] ?? NOTHING;
  }

  /** @param outlets those it plays, or its untuned messages pass to */
  #addSplit(input: InputConfig, config: SplitConfig, outlets: readonly LiveOutlet[]): InputSplit {
    const cables = toOneByCable(outlets).map(({ cable }) => cable);
    // Percussion has no pitch to tune. It passes where the outlets leave its channel alone.
    const untuned = isPercussion(config)
      ? cables.filter((cable) => !cable.bends(PERCUSSION_CHANNEL))
      : cables;
    if (input !== PIECE)
      for (const cable of untuned) for (const channel of toPassed(config)) cable.mayPass(channel);
    const route = {
      outlets: config.role === 'tuned' ? outlets : [],
      untuned,
      outletsOn: (cable: Cable) => this.outlets.filter((outlet) => outlet.cable === cable),
      playersOf: (outlet: LiveOutlet) => this.#splits.filter((split) => split.outlets.includes(outlet)),
    };
    const split = new InputSplit(config, this.#splits.length, input.bendRange, route, this.#hooks.line);
    this.#splits.push(split);
    return split;
  }
}

/** The zones of an input: what it has told so far, if it is still the same. */
function toZones({ port, mpe }: InputConfig, before: Routes | undefined): InputZones {
  const same = before?.inputs.find(({ config }) => config.port === port && config.mpe === mpe);
  return same?.zones ?? new InputZones(mpe);
}

/** The first outlet on each cable. */
function toOneByCable(outlets: readonly LiveOutlet[]): readonly LiveOutlet[] {
  return outlets.filter(({ cable }, i) => outlets.findIndex((one) => one.cable === cable) === i);
}

/** Whether a split is for percussion alone, which nobody asked to be there. */
function isPercussion({ isRest, channels }: SplitConfig): boolean {
  return isRest === true && channels?.length === 1 && channels[0] === PERCUSSION_CHANNEL;
}

/** The channels of a split whose messages pass as they came. */
function toPassed(config: SplitConfig): readonly number[] {
  return ALL_CHANNELS.filter((channel) => ['untuned', 'fixed'].includes(roleOf(config, channel) ?? ''));
}
