import { useState } from 'preact/hooks';
import type { NumberRange, Setting } from '../../core/settings/index.js';
import { toChoices } from '../words/choices.js';
import { useAsked } from './use-asked.js';

/** The control of a setting, by its kind. */
export function SettingField({
  setting,
  current,
  set,
}: {
  setting: Setting;
  current: unknown;
  set: (value: string | number) => void;
}) {
  const label = setting.page?.label ?? '';
  if (setting.kind === 'number' || setting.kind === 'pitch')
    return <Amount label={label} setting={setting} current={Number(current)} set={set} />;
  const shown = typeof current === 'number' ? current : String(current);
  return <Choice label={label} current={shown} options={toChoices(setting, shown)} set={set} />;
}

/** A number within a range; typed values beyond it are clamped. */
export function Amount({
  label,
  setting,
  current,
  set,
}: {
  label: string;
  setting: Setting & NumberRange;
  current: number;
  set: (value: number) => void;
}) {
  const { least, most, unit, page } = setting;
  // The typed text stays while the music goes on around it.
  const [draft, setDraft] = useState<string | undefined>();
  const [shown, ask] = useAsked(current, set);
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type="number"
        min={least}
        max={most}
        step={page?.step ?? 1}
        value={draft ?? String(Math.round(shown * 1000) / 1000)}
        onInput={(event) => setDraft(event.currentTarget.value)}
        onChange={(event) => {
          const wanted = event.currentTarget.valueAsNumber;
          if (Number.isFinite(wanted)) ask(Math.max(least, Math.min(most, wanted)));
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
  current,
  options,
  set,
}: {
  label: string;
  current: T;
  options: readonly (readonly [T, string])[];
  set: (value: T) => void;
}) {
  const [shown, ask] = useAsked(current, set);
  return (
    <label class="field">
      <span>{label}</span>
      <select
        value={String(shown)}
        onChange={(event) => {
          const chosen = options.find(([option]) => String(option) === event.currentTarget.value);
          if (chosen !== undefined) ask(chosen[0]);
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
