import type { OutletCounters } from '../../core/outlet/index.js';
import type { VitalSigns } from '../../io/clock/index.js';
import type { Quantiles } from './histogram.js';
import type { GuardCounters } from './live-guard.js';
import type { LiveSession } from './live-session.js';

/** What a session has counted and measured so far: for people, and for whoever asks after its health. */
export interface LiveFigures {
  readonly latency: Quantiles;
  readonly vitals: VitalSigns;
  readonly session: GuardCounters;
  readonly inputs: readonly InputFigures[];
  readonly outlets: readonly OutletFigures[];
}

/** One input. */
export interface InputFigures {
  readonly port: string;
  readonly isOpen: boolean;
  readonly messages: number;
  /** Bytes and messages that made no sense, or were too long. */
  readonly strange: number;
  /** It sent too much, or heard an outlet, and nothing of it passes. */
  readonly isClosed: boolean;
}

/** One outlet. */
export interface OutletFigures {
  readonly port: string;
  readonly isOpen: boolean;
  readonly sentMessages: number;
  readonly sentBytes: number;
  /** Messages while the port wasn't there, messages it refused, and bends a slow cable was spared. */
  readonly unheardMessages: number;
  readonly refusedMessages: number;
  readonly supersededBends: number;
  readonly notes: OutletCounters;
}

/** Reads everything a session counts. */
export function readFigures(session: LiveSession, vitals: VitalSigns): LiveFigures {
  const { wanted } = session;
  return {
    latency: session.latency.quantiles(),
    vitals,
    session: { ...session.counters },
    inputs: wanted.inputs.map((port, i) => {
      const { config, messages, strange, isClosed } = session.inputs[i];
      return { port: config.port, isOpen: session.isOpen(port), messages, strange, isClosed };
    }),
    outlets: session.outlets.map(({ config, sink, outlet, supersededBends }, i) => ({
      port: config.port,
      isOpen: session.isOpen(wanted.outlets[i]),
      sentMessages: sink.sentMessages,
      sentBytes: sink.sentBytes,
      unheardMessages: sink.unheardMessages,
      refusedMessages: sink.refusedMessages,
      supersededBends,
      notes: { ...outlet.counters },
    })),
  };
}
