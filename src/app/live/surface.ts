import type { Line } from '../../core/line/index.js';
import { toDrift, toMeanFromHome } from '../../core/tuner/index.js';
import { Cue, type CueTarget, toCueNotes } from './cue.js';
import { toPart, toSplitIndex } from './input-parts.js';
import type { InputSplit } from './input-split.js';
import { Knobs } from './knobs.js';
import { Lamps } from './lamps.js';
import type { LiveInput } from './live-input.js';
import type { LiveOutlet } from './live-outlet.js';
import type { LiveSettings } from './live-settings.js';

/** What the control surface needs of its session. */
export interface SurfaceEdges {
  readonly line: Line;
  readonly inputs: () => readonly LiveInput[];
  readonly outlets: () => readonly LiveOutlet[];
  /** The name of the preset in force. */
  readonly preset: () => string | undefined;
  /** A port of lamps takes no messages. */
  readonly refused: (port: string, error: unknown) => void;
}

/**
 * The control surface beside the keys: knobs, lamps, and the cue. Everything it does is done at the session's tick. On the
 * note path it only stores the position of a knob, and that lamps may have changed.
 */
export class Surface {
  readonly knobs: Knobs;
  readonly lamps: Lamps;
  readonly #edges: SurfaceEdges;
  readonly #cue = new Cue();
  /** How far the mean of what sounds is from home; in silence, of what sounded last. */
  #fromHomeCents = 0;

  constructor({ knobs, lamps }: Pick<LiveSettings, 'knobs' | 'lamps'>, edges: SurfaceEdges) {
    this.#edges = edges;
    this.knobs = new Knobs(knobs);
    this.lamps = new Lamps(lamps, edges.refused);
  }

  /** Takes other settings. Lamps go dark where they change. */
  want({ knobs, lamps }: Pick<LiveSettings, 'knobs' | 'lamps'>): void {
    this.knobs.want(knobs);
    this.lamps.want(lamps);
  }

  /** Whether it has anything to do at the next tick. */
  get isDue(): boolean {
    return this.knobs.isTurned || this.lamps.isDue || this.#cue.isPlaying;
  }

  /** Plays what is due of the cue. */
  play(atMs: number): void {
    const { tuner } = this.#edges.line;
    if (tuner.notes.length > 0) this.#fromHomeCents = toMeanFromHome(tuner);
    if (this.#cue.isPlaying) this.#cue.play(atMs, isPedalDown(tuner.pedals));
  }

  /** Sends the lamps that have changed, be it by a message or with time: a glide moves a meter. */
  show(atMs: number): void {
    this.lamps.touch();
    if (!this.lamps.isDue) return;
    const { line, inputs, preset } = this.#edges;
    const { tuner } = line;
    this.lamps.update(atMs, {
      tuner: tuner.settings,
      preset: preset(),
      isBypassed: line.isBypassed,
      isDriftHeld: tuner.driftHeld,
      isCutOff: inputs().some(({ isClosed }) => isClosed),
      driftCents: toDrift(tuner).leftCents,
      fromHomeCents: this.#fromHomeCents,
    });
  }

  /**
   * Plays the cue from the next tick on, from its beginning.
   * @param from the input that asked: it is heard on the outlets that it plays; on all, if it plays none
   */
  playCue(atMs: number, from: LiveInput | undefined): void {
    const { line, inputs, outlets } = this.#edges;
    const { tuner } = line;
    const isHeard = from !== undefined && from.outlets.length > 0;
    const players = (isHeard ? [from] : inputs()).flatMap(({ splits }) => splits);
    const its = isHeard ? from.outlets : outlets();
    const played = [...tuner.touches.keys()];
    const targets = its.map((outlet) => toTarget(outlet, players, played));
    this.#cue.start(atMs, toCueNotes(tuner.settings, toDrift(tuner).leftCents), targets);
  }

  /** Everything was silenced: the cue is over. */
  silenced(): void {
    this.#cue.forget();
  }
}

/** The cue has the sound of a part that has been played there. @param played every part that has been played */
function toTarget(outlet: LiveOutlet, players: readonly InputSplit[], played: readonly number[]): CueTarget {
  const its = players.filter(({ outlets }) => outlets.includes(outlet)).map(({ index }) => index);
  const part = played.find((one) => its.includes(toSplitIndex(one))) ?? toPart(its[0] ?? 0, 0);
  return { outlet, part };
}

function isPedalDown(pedals: Line['tuner']['pedals']): boolean {
  for (const { sustain, sostenuto, hold2 } of pedals.values()) if (sustain || sostenuto || hold2) return true;
  return false;
}
