import {
  createTuner,
  fromSnapshot,
  type Strategy,
  step,
  type Tuner,
  type TunerSettings,
  UNHEARD,
} from '../tuner/index.js';
import type { SessionMessage } from './session-messages.js';
import { SessionMonitor } from './session-monitor.js';
import { readRows, UNSENT } from './session-rows.js';
import type { ReplayStart } from './snapshot.js';
import { toStrategy } from './tuner-replicas.js';

/**
 * The tuner of one strategy at this moment, as the server's replica of it is or will be: from the last known state, and
 * every message since. Only the one strategy is worked out, since the music waits meanwhile. If the strategy was changed
 * since that state, all are: then one goes on from another.
 */
export function toPresentTuner(
  start: ReplayStart,
  messages: readonly SessionMessage[],
  strategy: Strategy,
): Tuner {
  const { snapshot } = start;
  const { settings, facts } = snapshot ?? start;
  if (changesStrategy(settings, messages)) {
    const monitor = new SessionMonitor({ ...start, pieces: [], session: '' }, snapshot);
    for (const message of messages) monitor.take(message);
    return monitor.replicas.tuners[strategy];
  }
  let tuner =
    snapshot === undefined
      ? createTuner(toStrategy(settings, strategy, facts.leewayCents))
      : fromSnapshot(snapshot.replicas.tuners[strategy]);
  let sounding = settings.strategy;
  const take = (rows: Float64Array) =>
    readRows(
      rows,
      (event) => {
        // Time passes with the next event too.
        if (event.kind !== 'time') step(tuner, event, UNHEARD);
      },
      UNSENT,
    );
  const change = (atMs: number, to: TunerSettings) =>
    step(tuner, { kind: 'settings', atMs, settings: to }, UNHEARD);
  for (const message of messages) {
    switch (message.kind) {
      case 'rows':
        take(message.rows);
        break;
      case 'settings':
        change(message.atMs, toStrategy(message.settings, strategy, message.facts.leewayCents));
        break;
      case 'heard':
        sounding = message.settings.strategy;
        break;
      case 'facts': {
        const its = toStrategy(
          { ...tuner.settings, strategy: sounding },
          strategy,
          message.facts.leewayCents,
        );
        if (strategy !== sounding && its.leewayCents !== tuner.settings.leewayCents)
          change(message.atMs, its);
        break;
      }
      case 'rebuilt':
        tuner = createTuner(tuner.settings);
        tuner.nextId = message.nextId;
        for (const { rows } of message.passes) take(rows);
        break;
      default:
    }
  }
  return tuner;
}

/** Whether the music went on from its place under another strategy: not only another one was heard. */
function changesStrategy(settings: TunerSettings, messages: readonly SessionMessage[]): boolean {
  let { strategy } = settings;
  for (const message of messages) {
    if (message.kind === 'heard') strategy = message.settings.strategy;
    if (message.kind === 'settings' && message.settings.strategy !== strategy) return true;
  }
  return false;
}
