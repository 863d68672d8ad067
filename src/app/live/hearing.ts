import type { Line } from '../../core/line/index.js';
import type { SessionMessage } from '../../core/monitor/index.js';
import type { Tuner } from '../../core/tuner/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import type { CurrentTuning } from './current-tuning.js';
import type { LiveInput } from './live-input.js';
import type { PiecePast } from './piece-past.js';
import { messagesOf } from './piece-stretch.js';
import { replayPast } from './replay-past.js';
import type { SessionEvent } from './session-event.js';

/** What it needs of its session. */
export interface HearingEdges {
  readonly line: Line;
  readonly now: () => number;
  readonly tuning: CurrentTuning;
  readonly inputs: () => readonly LiveInput[];
  /** The input of pieces. */
  readonly piece: () => LiveInput;
  readonly outletPorts: () => readonly WantedPort[];
  /** Runs something between bursts, and sends what it leaves waiting. What is thrown is caught. */
  readonly run: (what: () => void) => void;
  readonly tell: (event: SessionEvent) => void;
}

/** What viewers are told where the music begins again. */
export type Rebuilt = Extract<SessionMessage, { kind: 'rebuilt' }>;

/** What is heard of a session: another tuning of the same music, or the music at another place. No call throws. */
export class Hearing {
  readonly #edges: HearingEdges;

  constructor(edges: HearingEdges) {
    this.#edges = edges;
  }

  /**
   * Lets another tuner decide, which is as if it had heard the whole session. The session has its settings then; what
   * sounds glides to where it has it.
   */
  adopt(tuner: Tuner): void {
    const { line, now, run, tuning } = this.#edges;
    run(() => line.adopt(now(), tuner));
    tuning.adopt(tuner.settings);
  }

  /** Turns 12 equal on or off in a glide. */
  bypass(isOn: boolean): void {
    const { line, now, run, tell } = this.#edges;
    if (isOn === line.isBypassed) return;
    run(() => line.bypass(now(), isOn, 'glide'));
    tell({ kind: 'bypassed', on: isOn });
  }

  /**
   * Goes on as if a piece had been played up to a place, and nothing else before: without drift, if none of it was. What
   * anybody holds, by keys or pedals, ends first. What sounds at that place starts.
   * @param tellViewers is called before anything starts
   */
  rebuild(past: PiecePast, tellViewers: (rebuilt: Rebuilt) => void): void {
    const { line, now, tuning, inputs, piece, outletPorts, run, tell } = this.#edges;
    run(() => {
      const atMs = now();
      const wasHeld = line.tuner.driftHeld;
      line.silenceAll(atMs);
      for (const input of inputs()) input.forgetPedals();
      piece().end(atMs);
      for (const bytes of messagesOf(past.controls)) piece().receive(bytes);
      const { nextId } = line.tuner;
      const { tuner, passes } = replayPast(past, tuning.settings, outletPorts(), nextId);
      tellViewers({ kind: 'rebuilt', atMs, nextId, passes });
      line.adopt(atMs, tuner);
      if (wasHeld) tell({ kind: 'drift-held', on: false });
    });
  }
}
