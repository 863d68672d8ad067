import type { Line } from '../../core/line/index.js';
import { TUNER, toPrimes } from '../../core/settings/index.js';
import { moveHome, type PrimeLimit, type Tonic, toFifths } from '../../core/theory/index.js';
import { STRATEGIES, type Strategy, type Tuner, type TunerSettings } from '../../core/tuner/index.js';
import { type ActionRule, withStrategy } from './live-settings.js';
import type { SessionEvent } from './session-event.js';

/** The parts of a session that actions need. */
export interface Stage {
  readonly line: Line;
  panic(): void;
  changeTuning(settings: TunerSettings): void;
}

/** The limits in the order a foot switch steps through them. */
const LIMITS: readonly PrimeLimit[] = toPrimes(TUNER.limit);
const MOST_ACCIDENTALS = 7;

/**
 * Carries out an action by hand, by foot or from the page. One that is already in effect, or makes no sense now (the
 * tonic from the bass of a silence), changes nothing.
 * @param leewayOf the player's leeway for a strategy; `undefined`: the default
 */
export function act(
  session: Stage,
  atMs: number,
  rule: Pick<ActionRule, 'action' | 'strategy'>,
  leewayOf: (strategy: Strategy) => number | undefined,
  tell: (event: SessionEvent) => void,
): void {
  const { line } = session;
  const { tuner } = line;
  const { settings } = tuner;
  switch (rule.action) {
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
      session.changeTuning(withStrategy(settings, next, leewayOf(next)));
      break;
    }
    case 'strategy':
      if (rule.strategy !== undefined && rule.strategy !== settings.strategy)
        session.changeTuning(withStrategy(settings, rule.strategy, leewayOf(rule.strategy)));
      break;
    case 'tonic-from-bass': {
      const tonic = toBassTonic(tuner);
      if (tonic !== undefined) session.changeTuning({ ...settings, home: moveHome(settings.home, tonic) });
      break;
    }
    case 'limit-up':
    case 'limit-down': {
      const next = LIMITS.indexOf(settings.limit) + (rule.action === 'limit-up' ? 1 : -1);
      if (LIMITS[next] !== undefined) session.changeTuning({ ...settings, limit: LIMITS[next] });
      break;
    }
    case 'hold-drift':
      line.take({ kind: 'hold-drift', atMs, on: !tuner.driftHeld });
      tell({ kind: 'drift-held', on: tuner.driftHeld });
      break;
    case 'bypass':
      line.bypass(atMs, !line.isBypassed);
      tell({ kind: 'bypassed', on: line.isBypassed });
      break;
  }
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
