import { useState } from 'preact/hooks';
import { CONTROL_RANGES, type Control, type FeedRange, type SettingsFact } from '../../core/feed/index.js';
import { STRATEGY_WORDS } from '../words/strategies.js';

const HOMES: readonly [SettingsFact['home'], string][] = [
  ['equal', '12 equal'],
  ['just', 'just'],
  ['meantone', 'quarter-comma meantone'],
  ['pythagorean', 'Pythagorean'],
];
const TONICS = ['C', 'C♯', 'D♭', 'D', 'D♯', 'E♭', 'E', 'F', 'F♯', 'G♭', 'G', 'G♯', 'A♭', 'A', 'B♭', 'B'];
const LIMITS = [3, 5, 7, 11, 13] as const;

/** Every setting in reach. What is set here takes effect between notes, and every page shows it. */
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
  return (
    <form class="settings" aria-label="Settings" onSubmit={(event) => event.preventDefault()}>
      <fieldset disabled={!enabled}>
        <legend>Who pays</legend>
        <div class="choices" role="radiogroup" aria-label="Strategy">
          {(['free', 'pull', 'anchored'] as const).map((value) => (
            <label key={value} class={`choice ${value}`}>
              <input
                type="radio"
                name="strategy-set"
                checked={settings.strategy === value}
                onChange={() => order({ what: 'strategy', value })}
              />
              <span>
                <b>{value}</b> {STRATEGY_WORDS[value]}
              </span>
            </label>
          ))}
        </div>
        <Amount
          label="Leeway when anchored"
          unit="c"
          range={CONTROL_RANGES.leeway}
          step={1}
          value={settings.leewayCents.anchored}
          set={(value) => order({ what: 'leeway', strategy: 'anchored', value })}
        />
        <Amount
          label="Leeway when pulled"
          unit="c"
          range={CONTROL_RANGES.leeway}
          step={1}
          value={settings.leewayCents.pull}
          set={(value) => order({ what: 'leeway', strategy: 'pull', value })}
        />
        <Amount
          label="Pull"
          unit="c a second"
          range={CONTROL_RANGES.rate}
          step={0.5}
          value={settings.rateCentsPerSecond}
          set={(value) => order({ what: 'rate', value })}
        />
        <Choice
          label="Held notes"
          value={settings.held}
          options={[
            ['follow', 'glide along'],
            ['stay', 'keep their pitch'],
          ]}
          set={(value) => order({ what: 'held', value })}
        />
      </fieldset>
      <fieldset disabled={!enabled}>
        <legend>Home</legend>
        <Choice
          label="Scale"
          value={settings.home}
          options={settings.home === 'list' ? [...HOMES, ['list', 'your own scale']] : HOMES}
          set={(value) => value !== 'list' && order({ what: 'home', value })}
        />
        <Choice
          label="Tonic"
          value={settings.tonic}
          options={(TONICS.includes(settings.tonic) ? TONICS : [settings.tonic, ...TONICS]).map((tonic) => [
            tonic,
            tonic,
          ])}
          set={(value) => order({ what: 'tonic', value })}
        />
        <Amount
          label="A"
          unit="Hz"
          range={CONTROL_RANGES.a4}
          step={0.1}
          value={settings.a4Hz}
          set={(value) => order({ what: 'a4', value })}
        />
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
        <legend>Ear</legend>
        <Choice
          label="Primes up to"
          value={settings.limit}
          options={LIMITS.map((limit) => [limit, String(limit)])}
          set={(value) => order({ what: 'limit', value })}
        />
        <Amount
          label="Recall of notes just ended"
          unit=""
          range={CONTROL_RANGES.recall}
          step={0.02}
          value={settings.recall}
          set={(value) => order({ what: 'recall', value })}
        />
        <Amount
          label="Struck together within"
          unit="ms"
          range={CONTROL_RANGES['strike-window']}
          step={5}
          value={settings.strikeWindowMs}
          set={(value) => order({ what: 'strike-window', value })}
        />
        <label class="inline">
          <input
            type="checkbox"
            checked={settings.bypass}
            onChange={(event) => order({ what: 'bypass', value: event.currentTarget.checked })}
          />
          <span>Stand aside: 12 equal</span>
        </label>
        <button type="button" class="danger" onClick={() => order({ what: 'panic' })}>
          Silence everything
        </button>
      </fieldset>
      <p class="ports">{describePorts(settings)}</p>
    </form>
  );
}

function Amount({
  label,
  unit,
  range,
  step,
  value,
  set,
}: {
  label: string;
  unit: string;
  range: FeedRange;
  step: number;
  value: number;
  set: (value: number) => void;
}) {
  // What is being typed stays on the sheet while the music goes on around it.
  const [draft, setDraft] = useState<string | undefined>();
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type="number"
        min={range.least}
        max={range.most}
        step={step}
        value={draft ?? String(Math.round(value * 1000) / 1000)}
        onInput={(event) => setDraft(event.currentTarget.value)}
        onChange={(event) => {
          const wanted = event.currentTarget.valueAsNumber;
          if (Number.isFinite(wanted)) set(Math.max(range.least, Math.min(range.most, wanted)));
          setDraft(undefined);
        }}
        onBlur={() => setDraft(undefined)}
      />
      <span class="unit">{unit}</span>
    </label>
  );
}

function Choice<T extends string | number>({
  label,
  value,
  options,
  set,
}: {
  label: string;
  value: T;
  options: readonly (readonly [T, string])[];
  set: (value: T) => void;
}) {
  return (
    <label class="field">
      <span>{label}</span>
      <select
        value={String(value)}
        onChange={(event) => {
          const chosen = options.find(([option]) => String(option) === event.currentTarget.value);
          if (chosen !== undefined) set(chosen[0]);
        }}
      >
        {options.map(([option, words]) => (
          <option key={String(option)} value={String(option)}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}

function describePorts({ inputs, outputs }: SettingsFact): string {
  if (inputs.length === 0 && outputs.length === 0)
    return 'No MIDI ports: this page and the pieces are what plays.';
  const list = (names: readonly string[]) => (names.length === 0 ? 'nothing' : names.join(', '));
  return `Plays from ${list(inputs)}; to ${list(outputs)}.`;
}
