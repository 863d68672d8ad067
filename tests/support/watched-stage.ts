import { ReplayBuffer, SessionMonitor } from '../../src/core/monitor/index.js';
import type { Frame, Tuning } from '../../src/core/protocol/index.js';
import type { Strategy } from '../../src/core/tuner/index.js';
import { EventQueue } from '../../src/io/server/event-queue.js';
import { FACTS } from './feed-stage.js';
import { HandClock } from './hand-clock.js';
import { Stage, stageSettings } from './stage.js';

/** A live session, the monitor that is told of it, and the buffer between them, without a thread. */
export class WatchedStage extends Stage {
  readonly buffer: ReplayBuffer;
  readonly monitor: SessionMonitor;
  readonly queue: EventQueue;
  /** For what plays along: it goes as the stage's time does. */
  readonly clock = new HandClock(1000);
  #told = 0;

  constructor(settings = stageSettings()) {
    const facts = { ...FACTS };
    const queue = new EventQueue((message) => {
      this.#told++;
      this.buffer.add(message);
      this.monitor.take(message);
    });
    super(settings, undefined, {
      listener: {
        event: (event) => (event.kind === 'settings' ? queue.tell({ ...event, facts }) : queue.event(event)),
        resume: (note) => queue.resumed(note.id),
      },
      routing: {
        noteSent: (channel) => queue.noteSent(channel),
        bendSent: (channel, bend) => queue.bendSent(channel, bend),
      },
    });
    this.buffer = new ReplayBuffer(settings.tuner, facts);
    this.monitor = new SessionMonitor({ settings: settings.tuner, facts, pieces: [], session: 'watched' });
    this.queue = queue;
  }

  override wait(ms: number): this {
    const untilMs = this.nowMs + ms;
    for (let nextMs = this.clock?.nextMs ?? Infinity; nextMs <= untilMs; nextMs = this.clock.nextMs) {
      super.wait(nextMs - this.nowMs);
      this.clock.wait(nextMs - this.clock.nowMs);
    }
    super.wait(untilMs - this.nowMs);
    this.clock.nowMs = this.nowMs;
    return this;
  }

  /** The server stores its state, if it can: what comes after it is replayed on top. */
  settle(): void {
    this.queue.flush();
    this.buffer.settle(this.#told, structuredClone(this.monitor.toSnapshot()));
  }

  /** As the page does it. */
  hear(tuning: Tuning): void {
    if (tuning !== 'equal' && tuning !== this.session.settings.tuner.strategy) this.#adopt(tuning);
    this.session.hearing.bypass(tuning === 'equal');
  }

  frame(): Frame {
    const facts = { ...FACTS, bypass: this.session.line.isBypassed };
    this.queue.tell({ kind: 'facts', atMs: this.nowMs, facts });
    this.queue.event({ kind: 'time', atMs: this.nowMs });
    this.queue.flush();
    return this.monitor.frame({ droppedFrames: 0, viewers: 0 });
  }

  #adopt(strategy: Strategy): void {
    this.queue.flush();
    const tuner = this.buffer.toTuner(strategy);
    if (tuner === undefined) throw new Error('the buffer has a gap');
    this.session.hearing.adopt(tuner);
    this.queue.tell({ kind: 'heard', settings: tuner.settings, facts: FACTS });
  }
}
