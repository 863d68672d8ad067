/**
 * How far sounding notes are from where they belong, while they glide to another tuning: in cents, fading evenly to 0. A
 * note that starts meanwhile is where it belongs, but where A moves: there it glides along.
 *
 * @example
 * const glide = new TuningGlide();
 * glide.begin(1000, new Map([[7, -12]]));
 * glide.behindCents(1015, 7, 60)  // -9: of 60 ms a quarter is over
 */
export class TuningGlide {
  /** When it began; -Infinity when none runs. */
  #fromMs = -Infinity;
  /** By note, and of new notes: how far off they were then. */
  #behindCents: ReadonlyMap<number, number> = new Map();
  #newBehindCents = 0;

  get isRunning(): boolean {
    return this.#fromMs !== -Infinity;
  }

  /** Begins to fade. @param behindCents by the notes' ids; one that isn't there is where it belongs */
  begin(atMs: number, behindCents: ReadonlyMap<number, number>): void {
    this.#fromMs = atMs;
    this.#behindCents = behindCents;
    this.#newBehindCents = 0;
  }

  /** Begins again as every note, new ones too, belongs so many cents lower. @param ids of the sounding notes */
  lower(atMs: number, ids: readonly number[], cents: number, glideMs: number): void {
    const newBehindCents = this.behindCents(atMs, undefined, glideMs) + cents;
    this.begin(atMs, new Map(ids.map((id) => [id, this.behindCents(atMs, id, glideMs) + cents])));
    this.#newBehindCents = newBehindCents;
  }

  end(): void {
    this.#fromMs = -Infinity;
  }

  /** Ends it once `glideMs` are over. */
  time(atMs: number, glideMs: number): void {
    if (atMs - this.#fromMs >= glideMs) this.end();
  }

  /** How far a note is from where it belongs; `undefined`: one that starts now. */
  behindCents(atMs: number, id: number | undefined, glideMs: number): number {
    if (!this.isRunning || glideMs <= 0) return 0;
    const left = Math.max(0, 1 - (atMs - this.#fromMs) / glideMs);
    const cents = id === undefined ? undefined : this.#behindCents.get(id);
    return (cents ?? this.#newBehindCents) * left;
  }
}
