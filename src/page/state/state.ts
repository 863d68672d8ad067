import {
  type Downstream,
  type EntryFact,
  type Frame,
  forStrategies,
  type PassFact,
  type PieceFact,
  type ScoreFact,
  type SettingsFact,
} from '../../core/protocol/index.js';
import type { LinkState } from '../feed/link.js';

/** A notice to be read once. */
export interface ShownNotice {
  /** Distinguishes it from another with the same words. */
  readonly n: number;
  readonly level: 'info' | 'warning' | 'error';
  readonly text: string;
}

/** Everything the page shows except the drift curves, which are in the session history. */
export interface State {
  readonly link: LinkState;
  readonly mayControl: boolean;
  /** Whether the server has answered this page's greeting: before that its rights are unknown. */
  readonly isGreeted: boolean;
  readonly settings: SettingsFact | undefined;
  readonly pieces: readonly PieceFact[];
  readonly passes: readonly PassFact[];
  /** Chords of the piece that plays or played last. */
  readonly score: ScoreFact | null;
  readonly frame: Frame | undefined;
  /** Oldest first, all strategies, the last `MOST_ENTRIES`. */
  readonly entries: readonly EntryFact[];
  /** Entries this viewer missed. */
  readonly missed: number;
  readonly notice: ShownNotice | undefined;
}

/** An event of the page. */
export type PageEvent =
  | { readonly kind: 'link'; readonly link: LinkState }
  | { readonly kind: 'message'; readonly message: Downstream }
  | { readonly kind: 'notice'; readonly level: ShownNotice['level']; readonly text: string }
  | { readonly kind: 'notice-read' };

const MOST_ENTRIES = 400;
const MOST_PASSES = 200;

/** The page before any message. */
export const BLANK: State = {
  link: 'opening',
  mayControl: false,
  isGreeted: false,
  settings: undefined,
  pieces: [],
  passes: [],
  score: null,
  frame: undefined,
  entries: [],
  missed: 0,
  notice: undefined,
};

/** The state after an event. */
export function reduce(state: State, event: PageEvent): State {
  switch (event.kind) {
    case 'link':
      // Rights end with the link; what was shown stays.
      return {
        ...state,
        link: event.link,
        mayControl: event.link === 'open' && state.mayControl,
        isGreeted: event.link === 'open' && state.isGreeted,
      };
    case 'notice':
      return withNotice(state, event.level, event.text);
    case 'notice-read':
      return { ...state, notice: undefined };
    case 'message':
      return take(state, event.message);
  }
}

function take(state: State, message: Downstream): State {
  switch (message.type) {
    case 'snapshot': {
      const { mayControl, settings, pieces, passes, score, frame } = message;
      return {
        ...state,
        mayControl,
        settings,
        pieces,
        passes,
        score,
        frame,
        entries: frame.entries,
        missed: 0,
      };
    }
    case 'frame':
      return {
        ...state,
        frame: message,
        ...addEntries(state, message.entries),
        passes: addPass(state, message),
      };
    case 'settings':
      return { ...state, settings: message.settings };
    case 'score':
      return { ...state, score: message.score };
    case 'rights':
      return { ...state, mayControl: message.mayControl, isGreeted: true };
    case 'notice':
      return withNotice(state, message.level, message.text);
    case 'refused':
      return withNotice(state, 'warning', message.text);
    case 'taken':
      return state;
  }
}

function withNotice(state: State, level: ShownNotice['level'], text: string): State {
  return { ...state, notice: { n: (state.notice?.n ?? 0) + 1, level, text } };
}

/** Adds the entries that are new, and counts what is missing between. */
function addEntries(
  { entries, missed }: State,
  added: readonly EntryFact[],
): Pick<State, 'entries' | 'missed'> {
  if (added.length === 0) return { entries, missed };
  const last = forStrategies(() => 0);
  for (const entry of entries) last[entry.strategy] = Math.max(last[entry.strategy], entry.n);
  const seen = { ...last };
  let gaps = 0;
  const fresh = added.filter((entry) => {
    const before = seen[entry.strategy];
    if (entry.n <= before) return false;
    // Before the first entry of a strategy none counts as missing: the snapshot may have had none.
    if (before > 0) gaps += entry.n - before - 1;
    seen[entry.strategy] = entry.n;
    return true;
  });
  if (fresh.length === 0) return { entries, missed };
  return { entries: [...entries, ...fresh].slice(-MOST_ENTRIES), missed: missed + gaps };
}

function addPass({ passes }: State, { playing, drift }: Frame): readonly PassFact[] {
  if (playing === null) return passes;
  const last = passes.at(-1);
  if (last !== undefined && last.n === playing.pass.n && last.atMs === playing.pass.atMs) return passes;
  const left = forStrategies((which) => drift[which].leftCents);
  return [...passes, { ...playing.pass, left }].slice(-MOST_PASSES);
}
