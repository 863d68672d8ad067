import type { Line } from '../../core/line/index.js';
import { type Action, TUNER, toPrimes } from '../../core/settings/index.js';
import { moveHome, type PrimeLimit, type Tonic, toFifths } from '../../core/theory/index.js';
import { STRATEGIES, type Tuner } from '../../core/tuner/index.js';
import type { CurrentTuning } from './current-tuning.js';
import type { LiveInput } from './live-input.js';
import { type Asked, withStrategy } from './live-settings.js';
import type { SessionEvent } from './session-event.js';
import type { Surface } from './surface.js';

/** The parts of a session that actions need. */
export interface Stage {
  readonly line: Line;
  panic(): void;
  readonly tuning: Pick<CurrentTuning, 'change' | 'leewayOf' | 'load'>;
  readonly surface: Pick<Surface, 'playCue'>;
}

/** The limits in the order a foot switch steps through them. */
const LIMITS: readonly PrimeLimit[] = toPrimes(TUNER.limit);
const MOST_ACCIDENTALS = 7;

/**
 * Carries out an action by hand, by foot or from the page. One that is already in effect, or makes no sense now (the
 * tonic from the bass of a silence), changes nothing.
 * @param from the input that asked; `undefined`: none did
 */
export function act(
  session: Stage,
  atMs: number,
  asked: Asked,
  from: LiveInput | undefined,
  tell: (event: SessionEvent) => void,
): void {
  const { line, tuning } = session;
  const { tuner } = line;
  const { settings } = tuner;
  switch (asked.action) {
    case 'home-now':
      line.take({ kind: 'home', atMs, when: 'now' });
      break;
    case 'home-next':
      line.take({ kind: 'home', atMs, when: 'next' });
      break;
    case 'panic':
      session.panic();
      break;
    case 'next-strategy': {
      const next = STRATEGIES[(STRATEGIES.indexOf(settings.strategy) + 1) % STRATEGIES.length];
      tuning.change(withStrategy(settings, next, tuning.leewayOf(next)));
      break;
    }
    case 'strategy':
      if (asked.strategy !== undefined && asked.strategy !== settings.strategy)
        tuning.change(withStrategy(settings, asked.strategy, tuning.leewayOf(asked.strategy)));
      break;
    case 'tonic':
    case 'tonic-from-bass': {
      const tonic = asked.action === 'tonic' ? asked.tonic : toBassTonic(tuner);
      if (tonic !== undefined && tonic.fifths !== settings.home.tonic.fifths)
        tuning.change({ ...settings, home: moveHome(settings.home, tonic) });
      break;
    }
    case 'limit':
      if (asked.limit !== undefined && asked.limit !== settings.limit)
        tuning.change({ ...settings, limit: asked.limit });
      break;
    case 'limit-up':
    case 'limit-down': {
      const next = LIMITS.indexOf(settings.limit) + (asked.action === 'limit-up' ? 1 : -1);
      if (LIMITS[next] !== undefined) tuning.change({ ...settings, limit: LIMITS[next] });
      break;
    }
    case 'preset':
      if (asked.preset !== undefined) tuning.load(asked.preset);
      break;
    case 'cue':
      session.surface.playCue(atMs, from);
      break;
    case 'hold-drift':
    case 'hold-drift-on':
    case 'hold-drift-off': {
      const on = isOn(asked.action, tuner.driftHeld);
      if (on === tuner.driftHeld) break;
      line.take({ kind: 'hold-drift', atMs, on });
      tell({ kind: 'drift-held', on: tuner.driftHeld });
      break;
    }
    case 'bypass':
    case 'bypass-on':
    case 'bypass-off': {
      const on = isOn(asked.action, line.isBypassed);
      if (on === line.isBypassed) break;
      line.bypass(atMs, on);
      tell({ kind: 'bypassed', on: line.isBypassed });
      break;
    }
  }
}

/** What an action turns something to: on, off, or the other way. @param now how it is now */
function isOn(action: Action, now: boolean): boolean {
  if (action.endsWith('-on')) return true;
  return action.endsWith('-off') ? false : !now;
}

/** The lowest sounding note as a tonic, with its spelling; `undefined` in silence. */
function toBassTonic({ notes, settings }: Tuner): Tonic | undefined {
  if (notes.length === 0) return undefined;
  const bass = notes.reduce((lowest, note) => (note.key < lowest.key ? note : lowest));
  let fifths = settings.home.tonic.fifths + toFifths(bass.point);
  while (fifths > MOST_ACCIDENTALS) fifths -= 12;
  while (fifths < -MOST_ACCIDENTALS) fifths += 12;
  return { keyClass: bass.keyClass, fifths };
}
