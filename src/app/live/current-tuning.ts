import { toReferenceCents } from '../../core/theory/index.js';
import type { Strategy, TunerSettings } from '../../core/tuner/index.js';
import type { KnobSetting, Knobs } from './knobs.js';
import { type LiveSettings, type Preset, withStrategy } from './live-settings.js';
import type { SessionEvent } from './session-event.js';

/** What the tuning of a session needs of it. */
export interface TuningEdges {
  /** The tuner takes settings, from the next note on. What sounds goes on, and glides where another pitch is asked. */
  readonly take: (tuner: TunerSettings) => void;
  readonly tell: (event: SessionEvent) => void;
}

/**
 * The settings of a session, and the tuning as it is now: as the settings were read, and as the player has changed it
 * since, by page, foot, preset and knob.
 */
export class CurrentTuning {
  readonly #edges: TuningEdges;
  #settings: LiveSettings;
  /** Leeways chosen while it runs, in cents. */
  readonly #leeways = new Map<Strategy, number>();
  /** The leeway of all other strategies, in cents; `undefined`: the default of each. */
  #leewayCents: number | undefined;
  #preset: Preset | undefined;
  /** Knobs have changed it, and that wasn't told yet. */
  #isTurned = false;

  constructor(settings: LiveSettings, edges: TuningEdges) {
    this.#settings = settings;
    this.#leewayCents = settings.leewayCents;
    this.#edges = edges;
  }

  /** All settings, with the tuning as it is now. */
  get settings(): LiveSettings {
    return this.#settings;
  }

  /** The name of the preset that was loaded last; `undefined`: none since the settings were read. */
  get preset(): string | undefined {
    return this.#preset?.name;
  }

  /** Changes all settings, and forgets what the player chose. Tells nothing. */
  replace(settings: LiveSettings): void {
    this.#forget(settings.leewayCents, undefined);
    this.#isTurned = false;
    this.#settings = settings;
    this.#edges.take(settings.tuner);
  }

  /** Changes the tuning. The very same settings change nothing. */
  change(tuner: TunerSettings): void {
    if (tuner === this.#settings.tuner) return;
    this.#take(tuner);
    this.#isTurned = true;
    this.tellTurned();
  }

  /** Follows a tuner that was adopted under these settings. */
  adopt(tuner: TunerSettings): void {
    if (tuner === this.#settings.tuner) return;
    this.#settings = { ...this.#settings, tuner };
    this.#isTurned = true;
    this.tellTurned();
  }

  /** The player's leeway for a strategy, in cents; `undefined`: the default. */
  leewayOf(strategy: Strategy): number | undefined {
    return this.#leeways.get(strategy) ?? this.#leewayCents;
  }

  /** Sets the leeway of a strategy, in cents, which counts now or once that strategy is chosen. */
  chooseLeeway(strategy: 'pull' | 'anchored', cents: number): void {
    this.change(this.#withLeeway(this.#settings.tuner, [strategy], cents));
  }

  /** Loads a preset by its name, over all that the player has chosen. One that is in force changes nothing. */
  load(name: string): void {
    const preset = this.#settings.presets.find((one) => one.name === name);
    if (preset === undefined || this.#isInForce(preset)) return;
    this.#forget(preset.leewayCents, preset);
    this.#edges.tell({ kind: 'preset-loaded', name });
    this.change(preset.tuner);
  }

  /** Takes what knobs were turned to. It is told by the next `tellTurned`: they may be turned at every tick. */
  turn(knobs: Knobs): void {
    let { tuner } = this.#settings;
    knobs.take((setting, value) => {
      tuner = this.#turnOne(tuner, setting, value);
    });
    if (tuner === this.#settings.tuner) return;
    this.#take(tuner);
    this.#isTurned = true;
  }

  /** Tells what knobs have changed since the last time, if anything. */
  tellTurned(): void {
    if (!this.#isTurned) return;
    this.#isTurned = false;
    this.#edges.tell({ kind: 'tuning-changed', settings: this.#settings.tuner });
  }

  #take(tuner: TunerSettings): void {
    this.#settings = { ...this.#settings, tuner };
    this.#edges.take(tuner);
  }

  #turnOne(tuner: TunerSettings, setting: KnobSetting, value: number): TunerSettings {
    switch (setting) {
      case 'leeway':
        return this.#withLeeway(tuner, ['pull', 'anchored'], value);
      case 'rate':
        return changed(tuner, 'rateCentsPerSecond', value);
      case 'recall':
        return changed(tuner, 'recallCents', value);
      case 'a4':
        return changed(tuner, 'referenceCents', toReferenceCents(value));
    }
  }

  #withLeeway(tuner: TunerSettings, strategies: readonly Strategy[], cents: number): TunerSettings {
    for (const strategy of strategies) this.#leeways.set(strategy, cents);
    const { strategy } = tuner;
    const isSame = !strategies.includes(strategy) || tuner.leewayCents === cents;
    return isSame ? tuner : withStrategy(tuner, strategy, cents);
  }

  #isInForce(preset: Preset): boolean {
    return this.#preset === preset && this.#leeways.size === 0 && this.#settings.tuner === preset.tuner;
  }

  #forget(leewayCents: number | undefined, preset: Preset | undefined): void {
    this.#leeways.clear();
    this.#leewayCents = leewayCents;
    this.#preset = preset;
  }
}

/** The very same settings if nothing changes. */
function changed<K extends keyof TunerSettings>(
  tuner: TunerSettings,
  key: K,
  value: TunerSettings[K],
): TunerSettings {
  return tuner[key] === value ? tuner : Object.freeze({ ...tuner, [key]: value });
}
