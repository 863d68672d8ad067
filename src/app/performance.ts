import type { Timeline } from '../core/score/index.js';
import type { Player } from '../core/sound/index.js';
import { isSystemReset } from './system-reset.js';

const LONGEST_TAIL_SECONDS = 30;

/**
 * A timeline played by one player for each receiver, from its start until the last note has died away. Every message
 * takes effect at the frame nearest to its time; between them sound is made in blocks of any size. The same players at
 * the same rate give the same sound each time.
 */
export class Performance {
  readonly #timeline: Timeline;
  readonly #players: readonly Player[];
  readonly #rate: number;
  readonly #endFrame: number;
  #next = 0;
  #isFinished = false;
  frame = 0;

  /** @param players one for each receiver of the timeline */
  constructor(timeline: Timeline, players: readonly Player[], rate: number) {
    this.#timeline = timeline;
    this.#players = players;
    this.#rate = rate;
    this.#endFrame = this.#toFrame(timeline.lengthMs);
  }

  /** Whether the music is over and nothing is audible any more. */
  get isOver(): boolean {
    if (!this.#isFinished) return false;
    const silent = this.#players.every((player) => player.isSilent);
    return silent || this.frame >= this.#endFrame + LONGEST_TAIL_SECONDS * this.#rate;
  }

  /** Share of the music that has sounded, 0 to 1. */
  get share(): number {
    return this.#endFrame === 0 ? 1 : Math.min(1, this.frame / this.#endFrame);
  }

  /** Makes the next block of sound, as long as the arrays are. */
  sound(left: Float64Array, right: Float64Array): void {
    left.fill(0);
    right.fill(0);
    const { length } = left;
    for (let at = 0; at < length; ) {
      this.#carryOut();
      const due = this.#dueFrame();
      const end = Math.min(length, at + Math.max(1, due - this.frame));
      for (const player of this.#players) player.add(left, right, at, end);
      this.frame += end - at;
      at = end;
    }
  }

  #carryOut(): void {
    const { timesMs, receiverOf, messages, system } = this.#timeline;
    for (; this.#next < timesMs.length && this.#toFrame(timesMs[this.#next]) <= this.frame; this.#next++) {
      const player = this.#players[receiverOf[this.#next]];
      const bytes = system.get(this.#next);
      const at = 3 * this.#next;
      if (bytes === undefined) player.channel(messages[at], messages[at + 1], messages[at + 2]);
      // Where one port leads to several receivers, a reset reaches all of them.
      else if (isSystemReset(bytes)) for (const each of this.#players) each.reset(bytes);
      else player.system(bytes);
    }
    if (this.#isFinished || this.#next < timesMs.length || this.frame < this.#endFrame) return;
    this.#isFinished = true;
    for (const player of this.#players) player.finish();
  }

  /** The frame of the next message. */
  #dueFrame(): number {
    const { timesMs } = this.#timeline;
    if (this.#next < timesMs.length) return this.#toFrame(timesMs[this.#next]);
    return this.#isFinished ? Number.POSITIVE_INFINITY : this.#endFrame;
  }

  #toFrame(ms: number): number {
    return Math.round((ms * this.#rate) / 1000);
  }
}
