import { CONTROL_RANGES, type Control, type SettingsFact } from '../../core/protocol/index.js';
import { STRATEGY_WORDS } from '../words/strategies.js';
import { Amount, Choice, Switch } from './settings-fields.js';
import { StrategyChoice } from './strategy-choice.js';

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
  const amount = (
    what: keyof typeof CONTROL_RANGES,
    label: string,
    unit: string,
    step: number,
    told: number,
    of: Partial<Control> = {},
  ) => (
    <Amount
      label={label}
      unit={unit}
      range={CONTROL_RANGES[what]}
      step={step}
      told={told}
      set={(value) => order({ ...of, what, value } as Partial<Control>)}
    />
  );
  return (
    <form class="settings" aria-label="Settings" onSubmit={(event) => event.preventDefault()}>
      <fieldset disabled={!enabled}>
        <legend>Who pays</legend>
        <StrategyChoice
          name="strategy-set"
          label="Strategy"
          groupClass="choices"
          labelClass={(strategy) => `choice ${strategy}`}
          told={settings.strategy}
          set={(value) => order({ what: 'strategy', value })}
          words={(strategy) => (
            <>
              <b>{strategy}</b> {STRATEGY_WORDS[strategy]}
            </>
          )}
        />
        {amount('leeway', 'Leeway when anchored', 'c', 1, settings.leewayCents.anchored, {
          strategy: 'anchored',
        })}
        {amount('leeway', 'Leeway when pulled', 'c', 1, settings.leewayCents.pull, { strategy: 'pull' })}
        {amount('rate', 'Pull', 'c a second', 0.5, settings.rateCentsPerSecond)}
        {amount('recall', 'Recall: off a pure chord by up to', 'c', 1, settings.recallCents)}
        <Choice
          label="Held notes"
          told={settings.held}
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
          told={settings.home}
          options={settings.home === 'list' ? [...HOMES, ['list', 'your own scale']] : HOMES}
          set={(value) => value !== 'list' && order({ what: 'home', value })}
        />
        <Choice
          label="Tonic"
          told={settings.tonic}
          options={(TONICS.includes(settings.tonic) ? TONICS : [settings.tonic, ...TONICS]).map((tonic) => [
            tonic,
            tonic,
          ])}
          set={(value) => order({ what: 'tonic', value })}
        />
        {amount('a4', 'A', 'Hz', 0.1, settings.a4Hz)}
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
          told={settings.limit}
          options={LIMITS.map((limit) => [limit, String(limit)])}
          set={(value) => order({ what: 'limit', value })}
        />
        {amount('strike-window', 'Struck together within', 'ms', 5, settings.strikeWindowMs)}
        <Switch
          label="Stand aside: 12 equal"
          told={settings.bypass}
          set={(value) => order({ what: 'bypass', value })}
        />
        <button type="button" class="danger" onClick={() => order({ what: 'panic' })}>
          Silence everything
        </button>
      </fieldset>
      <p class="ports">
        Another scale, tonic, pitch or limit lets go what sounds; all else holds from the next note.{' '}
        {describePorts(settings)}
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
