import { tellSettings } from '../settings/index.js';
import type { TunerSettings } from '../tuner/index.js';
import type { SettingsFact } from './facts.js';
import { LIMITS } from './limits.js';
import { toLength } from './round.js';

/** What the settings fact needs beside the tuner's settings. */
export interface SessionSettings {
  /** Leeway of each strategy that has one. */
  readonly leewayCents: Readonly<Record<'pull' | 'anchored', number>>;
  readonly bypass: boolean;
  readonly inputs: readonly string[];
  readonly outputs: readonly string[];
}

/** The settings in force, as they travel. @example toSettingsFact(STOCK_SETTINGS, session).tonic  // 'C' */
export function toSettingsFact(settings: TunerSettings, session: SessionSettings): SettingsFact {
  const name = (text: string) => toLength(text, LIMITS.name);
  return {
    ...tellSettings(settings),
    leewayCents: { pull: session.leewayCents.pull, anchored: session.leewayCents.anchored },
    bypass: session.bypass,
    inputs: session.inputs.slice(0, LIMITS.ports).map(name),
    outputs: session.outputs.slice(0, LIMITS.ports).map(name),
  };
}
