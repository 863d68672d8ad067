import { CONTROL_CHANGE, NOTE_ON } from '../../core/midi/index.js';
import type { LAMP } from '../../core/settings/index.js';
import { formatPlace } from '../../core/theory/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';
import type { OutputLink } from '../../io/ports/index.js';

/** A light or a meter of a controller. No two of a session have the same address. */
export interface LampConfig {
  readonly port: string;
  readonly virtual: boolean;
  /** 0..15. */
  readonly channel: number;
  readonly kind: 'controller' | 'note';
  /** The controller or the key, 0..127. */
  readonly number: number;
  readonly shows: keyof typeof LAMP.shows.words;
  /** Where it is on in one state of several: the strategy, the limit, the tonic or the preset, as people write it. */
  readonly is: string | undefined;
  /** What turns it on, 1..127; 0 turns it off. */
  readonly on: number;
  /** Of a meter: the distances at 0, below home, and at 127, above it. */
  readonly leastCents: number;
  readonly mostCents: number;
}

/** Defaults of a lamp. */
export const DEFAULT_LAMP = Object.freeze({ channel: 0, on: 127, leastCents: -50, mostCents: 50 });

/** The state of a session, as far as lamps show it. */
export interface LampState {
  readonly tuner: TunerSettings;
  readonly preset: string | undefined;
  readonly isBypassed: boolean;
  readonly isDriftHeld: boolean;
  /** Whether an input is cut off. */
  readonly isCutOff: boolean;
  /** What is left of the drift, and how far the mean of what sounds is from home, in cents. */
  readonly driftCents: number;
  readonly fromHomeCents: number;
}

/** What a meter sends where there is no distance, and most that it can send. */
const CENTRE = 64;
const TOP = 127;
/** A meter is sent 50 times a second at most. */
const METER_MS = 20;
/** What a controller sends back comes within so many milliseconds. */
const ECHO_MS = 25;
/** Nothing has been sent, or it isn't known any more. */
const UNKNOWN = -1;

/** Whether it shows a distance, and isn't on or off. @example isMeter({ shows: 'bypass' })  // false */
export function isMeter({ shows }: Pick<LampConfig, 'shows'>): boolean {
  return shows === 'drift' || shows === 'from-home';
}

/** The value a lamp has in a state, 0..127. */
export function toLampValue(lamp: LampConfig, state: LampState): number {
  if (lamp.shows === 'drift') return toMeter(lamp, state.driftCents);
  if (lamp.shows === 'from-home') return toMeter(lamp, state.fromHomeCents);
  return isOn(lamp, state) ? lamp.on : 0;
}

function toMeter({ leastCents, mostCents }: LampConfig, cents: number): number {
  const share = cents < 0 ? (-CENTRE * cents) / leastCents : ((TOP - CENTRE) * cents) / mostCents;
  return Math.max(0, Math.min(TOP, Math.round(CENTRE + share)));
}

function isOn({ shows, is }: LampConfig, { tuner, ...state }: LampState): boolean {
  switch (shows) {
    case 'strategy':
      return tuner.strategy === is;
    case 'limit':
      return String(tuner.limit) === is;
    case 'tonic':
      return formatPlace(tuner.home.tonic.fifths) === is;
    case 'preset':
      return state.preset === is;
    case 'hold-drift':
      return state.isDriftHeld;
    case 'bypass':
      return state.isBypassed;
    case 'cut-off':
      return state.isCutOff;
    default:
      return false;
  }
}

/** One lamp, and what it was sent last. */
interface Lit {
  readonly config: LampConfig;
  value: number;
  atMs: number;
}

/**
 * The lamps of a session, on ports that come and go. `touch` notes that something may have changed, and is all that
 * happens on the note path. `update`, from the session's tick, sends each lamp whose value has changed; all of a port that
 * was connected. No call throws: a port that refuses a message is reported, and nothing more is sent to it.
 */
export class Lamps {
  readonly #refused: (port: string, error: unknown) => void;
  /** By the name of the port. */
  readonly #links = new Map<string, OutputLink>();
  readonly #bytes = new Uint8Array(3);
  #lit: readonly Lit[];
  #isDue = false;

  /**
   * @param refused a port takes no messages
   */
  constructor(lamps: readonly LampConfig[], refused: (port: string, error: unknown) => void) {
    this.#lit = lamps.map(toUnlit);
    this.#refused = refused;
  }

  /** Whether `update` may have something to send. */
  get isDue(): boolean {
    return this.#isDue;
  }

  /** Something may have changed. Hot path: allocates nothing. */
  touch(): void {
    this.#isDue = this.#lit.length > 0;
  }

  /** Changes the lamps, if they are others: all go dark, and the new ones are sent at the next update. */
  want(lamps: readonly LampConfig[]): void {
    if (JSON.stringify(lamps) === JSON.stringify(this.#lit.map(({ config }) => config))) return;
    this.darken();
    this.#lit = lamps.map(toUnlit);
    for (const port of this.#links.keys())
      if (!lamps.some((lamp) => lamp.port === port)) this.#links.delete(port);
    this.touch();
  }

  /** A port is there, or another one in its place. */
  connect(port: string, link: OutputLink): void {
    this.#links.set(port, link);
    for (const lit of this.#lit) {
      if (lit.config.port !== port) continue;
      lit.value = UNKNOWN;
      lit.atMs = Number.NEGATIVE_INFINITY;
    }
    this.touch();
  }

  disconnect(port: string): void {
    this.#links.delete(port);
  }

  /** Sends what has changed. A meter that was sent just now waits for a later call. */
  update(nowMs: number, state: LampState): void {
    this.#isDue = false;
    for (const lit of this.#lit) {
      const value = toLampValue(lit.config, state);
      if (value === lit.value || !this.#links.has(lit.config.port)) continue;
      if (isMeter(lit.config) && nowMs - lit.atMs < METER_MS) {
        this.#isDue = true;
        continue;
      }
      lit.atMs = nowMs;
      this.#send(lit, value);
    }
  }

  /**
   * Whether a message is a lamp's, sent back by its controller: no hand has a part in it. A lamp that was turned off looks
   * like a switch that comes up, so that isn't counted. Hot path: allocates nothing.
   *
   * @param port the name of the input it came in by
   */
  isEcho(port: string, nowMs: number, status: number, data1: number, data2: number): boolean {
    for (const { config, value, atMs } of this.#lit)
      if (
        config.number === data1 &&
        value === data2 &&
        (data2 > 0 || isMeter(config)) &&
        toStatus(config) === status &&
        config.port === port &&
        nowMs - atMs <= ECHO_MS
      )
        return true;
    return false;
  }

  /** Turns every lamp off, and puts meters in their middle. */
  darken(): void {
    for (const lit of this.#lit) {
      const value = isMeter(lit.config) ? CENTRE : 0;
      if (value !== lit.value) this.#send(lit, value);
    }
  }

  #send(lit: Lit, value: number): void {
    const { port, number } = lit.config;
    const link = this.#links.get(port);
    if (link === undefined) return;
    this.#bytes[0] = toStatus(lit.config);
    this.#bytes[1] = number;
    this.#bytes[2] = value;
    lit.value = value;
    try {
      link.send(this.#bytes);
    } catch (error) {
      this.#links.delete(port);
      this.#refused(port, error);
    }
  }
}

function toStatus({ kind, channel }: LampConfig): number {
  return (kind === 'note' ? NOTE_ON : CONTROL_CHANGE) | channel;
}

function toUnlit(config: LampConfig): Lit {
  return { config, value: UNKNOWN, atMs: Number.NEGATIVE_INFINITY };
}
