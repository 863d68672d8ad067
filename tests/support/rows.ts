import type { RowEvent } from '../../src/core/line/index.js';
import { type SessionMessage, SessionRows } from '../../src/core/monitor/index.js';

/** Tuner events as a session tells them. @example toRows({ kind: 'time', atMs: 40 })  // { kind: 'rows', rows: … } */
export function toRows(...events: readonly RowEvent[]): SessionMessage {
  const rows = new SessionRows(events.length + 1);
  for (const event of events) rows.event(event);
  return { kind: 'rows', rows: rows.take() };
}
