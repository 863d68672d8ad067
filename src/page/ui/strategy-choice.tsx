import type { ComponentChildren } from 'preact';
import { type SettingsFact, STRATEGIES } from '../../core/protocol/index.js';
import { useAsked } from './use-asked.js';

type StrategyName = SettingsFact['strategy'];

/** One of the strategies, as radio buttons; `name` keeps two such groups on one page apart. */
export function StrategyChoice({
  name,
  label,
  groupClass,
  labelClass,
  current,
  set,
  words,
}: {
  name: string;
  label: string;
  groupClass: string;
  labelClass: (strategy: StrategyName) => string;
  current: StrategyName;
  set: (strategy: StrategyName) => void;
  words: (strategy: StrategyName) => ComponentChildren;
}) {
  const [shown, ask] = useAsked(current, set);
  return (
    <div class={groupClass} role="radiogroup" aria-label={label}>
      {STRATEGIES.map((strategy) => (
        <label key={strategy} class={labelClass(strategy)}>
          <input type="radio" name={name} checked={shown === strategy} onChange={() => ask(strategy)} />
          <span>{words(strategy)}</span>
        </label>
      ))}
    </div>
  );
}
