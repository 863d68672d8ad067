import type { Control } from '../../core/protocol/index.js';
import { TUNER, toField } from '../../core/settings/index.js';
import { moveHome, parseTonic, toHome, toReferenceCents } from '../../core/theory/index.js';
import type { Strategy, TunerSettings } from '../../core/tuner/index.js';
import type { LiveSession } from './live-session.js';

/**
 * Carries out an order of the page, between notes. One already in effect changes nothing.
 * @param hear another strategy is to be heard
 * @example control(session, { type: 'control', what: 'rate', value: 5 });
 */
export function control(
  session: LiveSession,
  asked: Control,
  hear: (strategy: Strategy) => void = (strategy) => session.act({ action: 'strategy', strategy }),
): void {
  switch (asked.what) {
    case 'leeway':
      session.tuning.chooseLeeway(asked.strategy, asked.value);
      break;
    case 'hear':
      if (asked.value !== 'equal' && asked.value !== session.settings.tuner.strategy) hear(asked.value);
      session.hearing.bypass(asked.value === 'equal');
      break;
    case 'home-now':
    case 'home-next':
    case 'panic':
      session.act({ action: asked.what });
      break;
    default: {
      const { tuner } = session.settings;
      const changed = change(tuner, asked);
      if (changed !== undefined) session.tuning.change(Object.freeze({ ...tuner, ...changed }));
    }
  }
}

type SettingControl = Exclude<Control, { what: 'leeway' | 'hear' | 'home-now' | 'home-next' | 'panic' }>;

/** The changed settings; `undefined` if nothing changes. */
function change(tuner: TunerSettings, asked: SettingControl): Partial<TunerSettings> | undefined {
  switch (asked.what) {
    case 'home': {
      const { kind, tonic } = tuner.home;
      return kind === asked.value ? undefined : { home: toHome({ kind: asked.value, tonic }) };
    }
    case 'tonic': {
      const tonic = parseTonic(asked.value);
      const isSame = !tonic.ok || tonic.value.fifths === tuner.home.tonic.fifths;
      return isSame ? undefined : { home: moveHome(tuner.home, tonic.value) };
    }
    case 'a4': {
      const referenceCents = toReferenceCents(asked.value);
      return tuner.referenceCents === referenceCents ? undefined : { referenceCents };
    }
    default: {
      const field = toField(TUNER, asked.what);
      return tuner[field] === asked.value ? undefined : { [field]: asked.value };
    }
  }
}
