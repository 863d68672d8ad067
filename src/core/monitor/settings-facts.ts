import { LIMITS, type SettingsFact, toLength, toThousandth } from '../protocol/index.js';
import { formatPlace } from '../theory/index.js';
import type { TunerSettings } from '../tuner/index.js';
import type { SessionFacts } from './session-messages.js';

/** The settings in force, as they travel. @example toSettingsFact(STOCK_SETTINGS, session).tonic  // 'C' */
export function toSettingsFact(settings: TunerSettings, session: SessionFacts): SettingsFact {
  const name = (text: string) => toLength(text, LIMITS.name);
  return {
    strategy: settings.strategy,
    leewayCents: { pull: session.leewayCents.pull, anchored: session.leewayCents.anchored },
    rateCentsPerSecond: settings.rateCentsPerSecond,
    recallCents: settings.recallCents,
    held: settings.held,
    limit: settings.limit,
    home: settings.home.kind,
    tonic: formatPlace(settings.home.tonic.fifths),
    a4Hz: toThousandth(440 * 2 ** (settings.referenceCents / 1200)),
    strikeWindowMs: settings.strikeWindowMs,
    glideMs: settings.glideMs,
    bypass: session.bypass,
    inputs: session.inputs.slice(0, LIMITS.ports).map(name),
    outputs: session.outputs.slice(0, LIMITS.ports).map(name),
  };
}
