import type { TempoMap } from '../core/midi/index.js';

/**
 * Where in the file the playing is: the tick that sinks write, and its time.
 *
 * @example
 * const clock = new FileClock(toTempoMap(file));
 * clock.goTo(480);    // atMs 500, at 120 a minute and 480 ticks a quarter note
 * clock.stamp(250);   // tick 240: what was due between the last event and this one
 */
export class FileClock {
  readonly #tempo: TempoMap;
  #eventTick = 0;
  /** Time of the event being played. */
  atMs = 0;
  /** Tick of what is written now. */
  tick = 0;

  constructor(tempo: TempoMap) {
    this.#tempo = tempo;
  }

  goTo(tick: number): void {
    if (tick !== this.#eventTick) this.atMs = this.#tempo.toMs(tick);
    this.#eventTick = tick;
    this.tick = tick;
  }

  /** What is sent next happens at `atMs`: now, or between the last event and this one. */
  stamp(atMs: number): void {
    this.tick = atMs >= this.atMs ? this.#eventTick : Math.min(this.#tempo.toTick(atMs), this.#eventTick);
  }
}
