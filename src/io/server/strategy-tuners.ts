import { forStrategies, STRATEGIES, type Tuners } from '../../core/feed/index.js';
import {
  adjust,
  createTuner,
  fromKept,
  type KeptTuner,
  nextWakeMs,
  retell,
  type Strategy,
  step,
  type Tuner,
  type TunerOut,
  type TunerSettings,
  toKept,
  toSettings,
} from '../../core/tuner/index.js';
import type { KeptShadow } from './kept-feed.js';

/** Leeways of the strategies that have one, in cents. */
export type Leeways = Readonly<Record<'pull' | 'anchored', number>>;

/**
 * A tuner for each strategy, all of them told the same; one is the strategy that sounds.
 *
 * When that changes, the music goes on from where it stands, as it does in the session: the tuner of the new strategy takes
 * over the place of the old one, and leaves its own.
 */
export class StrategyTuners {
  #tuners: Record<Strategy, Tuner>;
  #sounding: Strategy;
  readonly #outs: Readonly<Record<Strategy, TunerOut>>;

  /**
   * @param outs what each strategy's decisions are told to
   * @param kept what earlier ones had come to
   */
  constructor(
    settings: TunerSettings,
    leeways: Leeways,
    outs: Readonly<Record<Strategy, TunerOut>>,
    kept?: Pick<KeptShadow, 'tuners' | 'strategy'>,
  ) {
    this.#sounding = kept?.strategy ?? settings.strategy;
    this.#outs = outs;
    this.#tuners = forStrategies((which) =>
      kept === undefined ? createTuner(toStrategy(settings, which, leeways)) : fromKept(kept.tuners[which]),
    );
  }

  get all(): Tuners {
    return this.#tuners;
  }

  /** The strategy that sounds, and its tuner. */
  get strategy(): Strategy {
    return this.#sounding;
  }

  get sounding(): Tuner {
    return this.#tuners[this.#sounding];
  }

  /** Whether anything moves by itself under any strategy. */
  get isMoving(): boolean {
    return STRATEGIES.some((which) => nextWakeMs(this.#tuners[which]) !== Infinity);
  }

  /** Tells each the same. */
  each(tell: (tuner: Tuner, out: TunerOut) => void): void {
    for (const which of STRATEGIES) tell(this.#tuners[which], this.#outs[which]);
  }

  /** Everything due by then happens. */
  pass(atMs: number): void {
    this.each((tuner, out) => step(tuner, { kind: 'time', atMs }, out));
  }

  /** Each begins anew, with nothing sounding; pedals, times and numbers go on. */
  restart(): void {
    for (const which of STRATEGIES) {
      const { settings, nowMs, nextId, pedals } = this.#tuners[which];
      this.#tuners[which] = { ...createTuner(settings), nowMs, nextId, pedals };
    }
  }

  /** The settings have changed. @param atMs when, if everything sounded on; `null`: in silence */
  retell(settings: TunerSettings, leeways: Leeways, atMs: number | null): void {
    const { strategy } = settings;
    for (const which of STRATEGIES) this.#comeToRest(which, atMs);
    if (strategy !== this.#sounding) {
      const kept = toKept(this.sounding);
      if (kept !== undefined) this.#tuners[strategy] = fromKept(kept);
      this.#sounding = strategy;
    }
    for (const which of STRATEGIES) {
      const [tuner, its] = [this.#tuners[which], toStrategy(settings, which, leeways)];
      this.#tuners[which] = atMs === null ? retell(tuner, its) : adjust(tuner, its, atMs, this.#outs[which]);
    }
  }

  /** All of it as plain data; `undefined` while a strike is open. */
  keep(): Pick<KeptShadow, 'tuners' | 'strategy'> | undefined {
    const tuners = forStrategies((which) => toKept(this.#tuners[which]));
    return areAllKept(tuners) ? { tuners, strategy: this.#sounding } : undefined;
  }

  /** Nothing is left open: everything has ended, or what sounds is settled. */
  #comeToRest(which: Strategy, atMs: number | null): void {
    const [tuner, out] = [this.#tuners[which], this.#outs[which]];
    if (atMs !== null) {
      this.#tuners[which] = adjust(tuner, tuner.settings, atMs, out);
      return;
    }
    for (const part of new Set(tuner.notes.map((note) => note.part)))
      step(tuner, { kind: 'silence', atMs: tuner.nowMs, part }, out);
    // In silence no strike is open for long; one that is has nothing left to decide.
    tuner.strike = undefined;
  }
}

function areAllKept(
  tuners: Readonly<Record<Strategy, KeptTuner | undefined>>,
): tuners is Record<Strategy, KeptTuner> {
  return STRATEGIES.every((which) => tuners[which] !== undefined);
}

/** Settings as they are under a strategy. */
function toStrategy(settings: TunerSettings, strategy: Strategy, leeways: Leeways): TunerSettings {
  if (strategy === settings.strategy) return settings;
  const has = strategy === 'pull' || strategy === 'anchored';
  const leewayCents = has ? leeways[strategy] : toSettings({ strategy }).leewayCents;
  return Object.freeze({ ...settings, strategy, leewayCents });
}
