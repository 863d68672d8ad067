import type { OutletCounters } from '../../core/outlet/index.js';
import type { VitalSigns } from '../../io/clock/index.js';
import type { Quantiles } from './histogram.js';
import type { GuardCounters } from './live-guard.js';
import type { LiveSession } from './live-session.js';

/** The counters and measurements of a session: for people, and for health checks. */
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
  /** Messages while the port was missing, messages it refused, and messages dropped for a slow cable. */
  readonly unheardMessages: number;
  readonly refusedMessages: number;
  readonly supersededMessages: number;
  readonly notes: OutletCounters;
}

/** Reads all counters of a session. */
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
    outlets: session.outlets.map(({ config, cable, sink, outlet }, i) => ({
      port: config.port,
      isOpen: session.isOpen(wanted.outlets[i]),
      sentMessages: sink.sentMessages,
      sentBytes: sink.sentBytes,
      unheardMessages: sink.unheardMessages,
      refusedMessages: sink.refusedMessages,
      supersededMessages: cable.supersededMessages,
      notes: { ...outlet.counters },
    })),
  };
}
