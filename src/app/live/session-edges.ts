import type { LineListener } from '../../core/line/index.js';
import type { RoutingListener } from '../../core/monitor/index.js';
import type { PortSystem } from '../../io/ports/index.js';
import type { SessionEvent } from './session-event.js';

/** Called with every whole message of an input, before it is handled. It must be short, and copy bytes. */
export interface InputListener {
  channel(atMs: number, port: string, status: number, data1: number, data2: number): void;
  system(atMs: number, port: string, bytes: Uint8Array): void;
}

/** What a session needs from outside. */
export interface SessionEdges {
  readonly ports: PortSystem;
  /** Milliseconds, with fractions, from any start; if it goes back, the session's time stops until it catches up. */
  readonly now: () => number;
  /** Notifies people. Called on the note path only where unavoidable, so it must be short. */
  readonly tell: (event: SessionEvent) => void;
  /** Something will be due: call `tick` every few milliseconds from now on, until `tickMs` is Infinity. */
  readonly wake: () => void;
  readonly listener?: LineListener;
  /** Receives the channel of each note of the first outlet, and its bends. On the note path; it must be short. */
  readonly routing?: RoutingListener | undefined;
  /** Receives all input, tuned or not, actions and what a fuse blocks included. For takes. */
  readonly inputListener?: InputListener;
  /** Called with every sent message, just after, and the name of its port. The bytes are reused: copy them. */
  readonly onSent?: (port: string, bytes: Uint8Array) => void;
}
