import { useState } from 'preact/hooks';
import type { FeedRange } from '../../core/protocol/index.js';
import { useAsked } from './use-asked.js';

/** A number to set within a range; what is typed out of it is taken to its edge. */
export function Amount({
  label,
  unit,
  range,
  step,
  told,
  set,
}: {
  label: string;
  unit: string;
  range: FeedRange;
  step: number;
  told: number;
  set: (value: number) => void;
}) {
  // What is being typed stays on the sheet while the music goes on around it.
  const [draft, setDraft] = useState<string | undefined>();
  const [shown, ask] = useAsked(told, set);
  return (
    <label class="field">
      <span>{label}</span>
      <input
        type="number"
        min={range.least}
        max={range.most}
        step={step}
        value={draft ?? String(Math.round(shown * 1000) / 1000)}
        onInput={(event) => setDraft(event.currentTarget.value)}
        onChange={(event) => {
          const wanted = event.currentTarget.valueAsNumber;
          if (Number.isFinite(wanted)) ask(Math.max(range.least, Math.min(range.most, wanted)));
          setDraft(undefined);
        }}
        onBlur={() => setDraft(undefined)}
      />
      <span class="unit">{unit}</span>
    </label>
  );
}

/** One of a few named values. */
export function Choice<T extends string | number>({
  label,
  told,
  options,
  set,
}: {
  label: string;
  told: T;
  options: readonly (readonly [T, string])[];
  set: (value: T) => void;
}) {
  const [shown, ask] = useAsked(told, set);
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

/** On or off. */
export function Switch({
  label,
  told,
  set,
}: {
  label: string;
  told: boolean;
  set: (value: boolean) => void;
}) {
  const [shown, ask] = useAsked(told, set);
  return (
    <label class="inline">
      <input type="checkbox" checked={shown} onChange={(event) => ask(event.currentTarget.checked)} />
      <span>{label}</span>
    </label>
  );
}
