import type { Kind } from './kinds.js';

/** The commands that take settings as options. */
export type SettingsCommand = 'retune' | 'explain' | 'compare' | 'live' | 'demo' | 'tone';

/** The player's actions while playing, by a foot switch, a key or a program change. */
export type Action =
  | 'home-now'
  | 'home-next'
  | 'panic'
  | 'next-strategy'
  | 'strategy'
  | 'tonic'
  | 'tonic-from-bass'
  | 'limit'
  | 'limit-up'
  | 'limit-down'
  | 'hold-drift'
  | 'hold-drift-on'
  | 'hold-drift-off'
  | 'bypass'
  | 'bypass-on'
  | 'bypass-off'
  | 'preset'
  | 'cue';

/** Another setting of the same section, and values of it; none: it is given at all. */
export interface Beside {
  readonly key: string;
  readonly is: readonly string[];
}

/** All data of one setting but its key and its default, which is where the value is used. */
export type Setting = Kind & {
  /** What it does, in one sentence. */
  readonly does: string;
  /** Its name in code and in JSON, where that isn't the key. */
  readonly field?: string;
  /** Its default in words, if no single value describes it; or the setting that its default depends on. */
  readonly default?: string | Beside;
  /** As an option `--key <value>` of some commands; `name`: if the option has another name than the key. */
  readonly option?: {
    readonly value: string;
    readonly of: readonly SettingsCommand[];
    readonly name?: string;
  };
  /** As a control of the page. `step` is the step of its arrows, in the setting's unit. */
  readonly page?: {
    readonly group: 'strategy' | 'home' | 'ear';
    readonly label: string;
    readonly step?: number;
  };
  /** The actions that change it while playing. */
  readonly actions?: readonly Action[];
  /** It may be given only where another setting is given, with one of these values. */
  readonly only?: Beside;
  /**
   * It may be given, and has no effect, where another setting has one of these values; `why` follows in the message.
   */
  readonly idle?: readonly (Beside & { readonly why: string })[];
};

/** The settings of one section, by their keys. */
export type Table = Readonly<Record<string, Setting>>;
