import { LIMITS, type SettingsFact, toLength } from '../protocol/index.js';
import { toReportedSettings } from '../settings/index.js';
import type { TunerSettings } from '../tuner/index.js';
import type { SessionFacts } from './session-messages.js';

/**
 * The settings in force, as the feed carries them. Names of ports are cut to `LIMITS.name`, their number to
 * `LIMITS.ports`. Addresses that are too long, or too many, are left out.
 *
 * @example toSettingsFact(DEFAULT_SETTINGS, session).tonic  // 'C'
 */
export function toSettingsFact(settings: TunerSettings, session: SessionFacts): SettingsFact {
  const name = (text: string) => toLength(text, LIMITS.name);
  return {
    ...toReportedSettings(settings),
    leewayCents: { pull: session.leewayCents.pull, anchored: session.leewayCents.anchored },
    bypass: session.bypass,
    stories: [...session.stories],
    inputs: session.inputs.slice(0, LIMITS.ports).map(name),
    outputs: session.outputs.slice(0, LIMITS.ports).map(name),
    // A cut address would lead elsewhere.
    addresses: session.addresses.filter(({ length }) => length <= LIMITS.text).slice(0, LIMITS.addresses),
  };
}
