import { Line, type RowEvent } from '../../core/line/index.js';
import { type PlayedPass, SessionRows } from '../../core/monitor/index.js';
import { createTuner, type Tuner } from '../../core/tuner/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import { Knobs } from './knobs.js';
import type { InputSession } from './live-input.js';
import type { LiveSettings } from './live-settings.js';
import type { PiecePast } from './piece-past.js';
import { Routes } from './routes.js';

/** Rows that are gathered at a time. */
const MOST_ROWS = 4096;

/** A past that was played again: the tuner after it, and its events. */
export interface ReplayedPast {
  readonly tuner: Tuner;
  readonly passes: readonly PlayedPass[];
}

/**
 * Plays the past of a piece again for a new tuner, without sound: through the same routes as the piece itself, so that
 * it decides as it would have then. Roles, zones and pedals are those of a piece.
 *
 * @param ports  those of the outlets, in the order of the settings
 * @param nextId number of the first note
 */
export function replayPast(
  past: PiecePast,
  settings: LiveSettings,
  ports: readonly WantedPort[],
  nextId: number,
): ReplayedPast {
  const tuner = createTuner(settings.tuner, undefined, nextId);
  if (past.passes.length === 0) return { tuner, passes: [] };
  let nowMs = 0;
  let rows = new RowList();
  const line = new Line(tuner, () => [], {
    event: (event) => {
      if (event.kind !== 'settings') rows.add(event);
    },
  });
  const routes = new Routes(settings, ports, {
    now: () => nowMs,
    line,
    inputSession: { ...UNHEARD, now: () => nowMs },
    lamps: NO_LAMPS,
    onSent: undefined,
  });
  const passes = past.passes.map((pass) => {
    rows = new RowList();
    past.replay(
      pass,
      (atMs, bytes) => {
        nowMs = atMs;
        routes.piece.receive(bytes);
      },
      (atMs) => {
        nowMs = atMs;
        routes.piece.end(atMs);
      },
    );
    return { n: pass.n, atMs: pass.atMs, rows: rows.take() };
  });
  return { tuner, passes };
}

/** Any number of rows. */
class RowList {
  readonly #rows = new SessionRows(MOST_ROWS);
  readonly #full: Float64Array[] = [];

  add(event: RowEvent): void {
    this.#rows.event(event);
    if (this.#rows.isFull) this.#full.push(this.#rows.take());
  }

  take(): Float64Array {
    const parts = [...this.#full, this.#rows.take()];
    const all = new Float64Array(parts.reduce((sum, { length }) => sum + length, 0));
    let at = 0;
    for (const part of parts) {
      all.set(part, at);
      at += part.length;
    }
    return all;
  }
}

/** Actions and knobs did their work in their time. */
const UNHEARD: Omit<InputSession, 'now'> = {
  listener: undefined,
  passesSystem: () => false,
  act() {},
  knobs: new Knobs([]),
  zoned() {},
  closed() {},
};
const NO_LAMPS = { connect() {}, disconnect() {}, isEcho: () => false };
