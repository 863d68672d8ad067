import type { Kind } from './kinds.js';

/** The commands that take settings as options. */
export type SettingsCommand = 'retune' | 'explain' | 'compare' | 'live' | 'demo' | 'tone';

/** What a player may ask for while playing, by a foot switch, a key or a program change. */
export type Action =
  | 'home-now'
  | 'home-next'
  | 'panic'
  | 'next-strategy'
  | 'strategy'
  | 'tonic-from-bass'
  | 'limit-up'
  | 'limit-down'
  | 'hold-drift'
  | 'bypass';

/** Another setting of the same section, and values of it. */
export interface Beside {
  readonly key: string;
  readonly is: readonly string[];
}

/** All there is to know of one setting but its key and its default, which stands where the value is used. */
export type Setting = Kind & {
  /** What it does, in one sentence. */
  readonly does: string;
  /** Its name in code and in JSON, where that isn't the key. */
  readonly field?: string;
  /** Its default in words, where no one value stands for it; or the setting that its default depends on. */
  readonly default?: string | Beside;
  /** As an option `--key <value>` of some commands; `name`: where the option isn't called by the key. */
  readonly option?: {
    readonly value: string;
    readonly of: readonly SettingsCommand[];
    readonly name?: string;
  };
  /** As a control of the page. `step` is what its arrows go by, in the setting's unit. */
  readonly page?: {
    readonly group: 'strategy' | 'home' | 'ear';
    readonly label: string;
    readonly step?: number;
  };
  /** What changes it while playing. */
  readonly actions?: readonly Action[];
  /** It may be given only where another setting has one of these values. */
  readonly only?: Beside;
  /** It may be given, and has no effect, where another setting has one of these values; `why` follows that. */
  readonly idle?: readonly (Beside & { readonly why: string })[];
};

/** The settings of one section, by their keys. */
export type Table = Readonly<Record<string, Setting>>;
