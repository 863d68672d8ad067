/** Follows a session's music for viewers: replicas of its tuner under every strategy, frames and snapshots. */
export { DriftHistory, type DriftPoint } from './drift-history.js';
export { type FrameSources, toFrame } from './frames.js';
export { type EntryPlace, toDriftFact, toEntryFact, toTotalsFact } from './ledger-facts.js';
export { type Tuners, toNoteFacts, toRecalledFacts } from './note-facts.js';
export { type NoteChannel, NoteRouting, type RoutingListener } from './note-routing.js';
export { ReplayBuffer } from './replay-buffer.js';
export type {
  PlayedPass,
  PlayingState,
  SessionCounters,
  SessionFacts,
  SessionMessage,
} from './session-messages.js';
export { type MonitorCounters, SessionMonitor } from './session-monitor.js';
export { SessionRows } from './session-rows.js';
export { toSettingsFact } from './settings-facts.js';
export type { MonitorSnapshot } from './snapshot.js';
export { type Leeways, TunerReplicas } from './tuner-replicas.js';
