import type { LineListener } from '../../core/line/index.js';
import type { RoutingListener } from '../../core/monitor/index.js';
import type { PortSystem } from '../../io/ports/index.js';
import type { InputListener } from './live-input.js';
import type { SessionEvent } from './session-event.js';

/** What a session needs of the world. */
export interface SessionEdges {
  readonly ports: PortSystem;
  /** Milliseconds, with fractions, from any start; should it go back, time stands still for the session. */
  readonly now: () => number;
  /** Told what people should know. Called off the note path only where it can't be helped, so keep it short. */
  readonly tell: (event: SessionEvent) => void;
  /** Something is to be done in time: call `tick` every few milliseconds from now on, until `needsTick` is false. */
  readonly wake: () => void;
  /** Told what happens to the tuner and what it decides. */
  readonly listener?: LineListener;
  /** Told on which channel the first outlet sends a note, and every bend of it. On the note path; keep it short. */
  readonly routing?: RoutingListener | undefined;
  /** All that comes in, tuned or not, actions and what a fuse holds back included. For takes. */
  readonly inputListener?: InputListener;
  /** Told every message that went out, just after, with the name of its port. The bytes are reused: copy them. */
  readonly onSent?: (port: string, bytes: Uint8Array) => void;
}
