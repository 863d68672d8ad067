import type { Control, SettingsFact } from '../../core/protocol/index.js';
import { type Setting, TUNER, toField } from '../../core/settings/index.js';
import { Amount, SettingField } from './settings-fields.js';

/** Each strategy has a separate leeway. */
const LEEWAYS = [
  ['anchored', 'Leeway when anchored'],
  ['pull', 'Leeway when pulled'],
] as const;

/** All settings. A change takes effect between notes, and every page shows it. */
export function SettingsView({
  settings,
  enabled,
  send,
}: {
  settings: SettingsFact;
  enabled: boolean;
  send: (order: Control) => void;
}) {
  const order = (fields: Partial<Control>) => send({ type: 'control', ...fields } as Control);
  const field = (key: keyof typeof TUNER) => {
    // What is heard has a row of its own.
    if (key === 'strategy') return null;
    if (key === 'leeway')
      return LEEWAYS.map(([strategy, label]) => (
        <Amount
          key={strategy}
          label={label}
          setting={TUNER.leeway}
          current={settings.leewayCents[strategy]}
          set={(value) => order({ what: 'leeway', strategy, value })}
        />
      ));
    return (
      <SettingField
        setting={TUNER[key]}
        current={settings[toField(TUNER, key)]}
        // Each field gives a value of its setting's kind.
        set={(value) => order({ what: key, value } as Partial<Control>)}
      />
    );
  };
  const group = (name: NonNullable<Setting['page']>['group']) =>
    (Object.keys(TUNER) as (keyof typeof TUNER)[])
      .filter((key) => (TUNER[key] as Setting).page?.group === name)
      .map(field);
  return (
    <form class="settings" aria-label="Settings" onSubmit={(event) => event.preventDefault()}>
      <fieldset disabled={!enabled}>
        <legend>Drift</legend>
        {group('strategy')}
      </fieldset>
      <fieldset disabled={!enabled}>
        <legend>Home</legend>
        {group('home')}
        <div class="row">
          <button type="button" onClick={() => order({ what: 'home-now' })}>
            Go home now
          </button>
          <button type="button" onClick={() => order({ what: 'home-next' })}>
            With the next chord
          </button>
        </div>
      </fieldset>
      <fieldset disabled={!enabled}>
        <legend>Intervals</legend>
        {group('ear')}
        <button type="button" class="danger" onClick={() => order({ what: 'panic' })}>
          Silence everything
        </button>
      </fieldset>
      <p class="ports">
        Notes sound on whatever changes. A change holds from the next note. {describePorts(settings)}
      </p>
    </form>
  );
}

function describePorts({ inputs, outputs }: SettingsFact): string {
  if (inputs.length === 0 && outputs.length === 0)
    return 'No MIDI ports: this page and the pieces are what plays.';
  const list = (names: readonly string[]) => (names.length === 0 ? 'nothing' : names.join(', '));
  return `Plays from ${list(inputs)}; to ${list(outputs)}.`;
}
