/** A message that took long, and what went on. */
export interface SlowMessage {
  readonly fromMs: number;
  readonly ms: number;
  /** What the player was at. */
  readonly gesture: string;
  /** How long the thread waited for a processor inside it; `undefined` where the system doesn't tell. */
  readonly waitedMs: number | undefined;
  /** Time of garbage collections inside it. */
  collectedMs: number;
  /** What had happened just before. */
  readonly happened: readonly string[];
}

/** How long before a message something may have happened that is told beside it, in milliseconds. */
const JUST_BEFORE_MS = 100;
/** Happenings remembered; more in a tenth of a second don't help. */
const MOST_HAPPENINGS = 8;

/**
 * Keeps the slowest messages and what was going on in them, so that a slow one can be explained: told every message, every
 * happening and every garbage collection.
 */
export class Slowest {
  /** From the slowest. */
  readonly messages: SlowMessage[] = [];
  readonly #most: number;
  readonly #happenings: { readonly atMs: number; readonly what: string }[] = [];

  /** @param most how many are kept */
  constructor(most: number) {
    this.#most = most;
  }

  /** Whether a message that took so long is one of them: then, and only then, it has to be added. */
  admits(ms: number): boolean {
    return this.messages.length < this.#most || ms > this.messages[this.#most - 1].ms;
  }

  add(fromMs: number, ms: number, gesture: string, waitedMs: number | undefined): void {
    const happened = this.#happenings
      .filter(({ atMs }) => atMs >= fromMs - JUST_BEFORE_MS && atMs <= fromMs + ms)
      .map(({ what }) => what);
    const at = this.messages.findIndex((one) => one.ms < ms);
    const message = { fromMs, ms, gesture, waitedMs, collectedMs: 0, happened };
    this.messages.splice(at < 0 ? this.messages.length : at, 0, message);
    this.messages.length = Math.min(this.messages.length, this.#most);
  }

  happen(atMs: number, what: string): void {
    this.#happenings.push({ atMs, what });
    if (this.#happenings.length > MOST_HAPPENINGS) this.#happenings.shift();
  }

  /** A garbage collection. Of one that began or ended outside a message, the part inside counts. */
  collect(fromMs: number, ms: number): void {
    for (const message of this.messages) {
      const until = Math.min(fromMs + ms, message.fromMs + message.ms);
      message.collectedMs += Math.max(0, until - Math.max(fromMs, message.fromMs));
    }
  }

  clear(): void {
    this.messages.length = 0;
  }
}

/** A line for each, from the slowest. */
export function formatSlowest(messages: readonly SlowMessage[]): string[] {
  return messages.map(({ fromMs, ms, gesture, waitedMs, collectedMs, happened }) =>
    [
      `${ms.toFixed(2)} ms at ${(fromMs / 1000).toFixed(1)} s, ${gesture}`,
      waitedMs === undefined ? '' : `: waited for a processor ${waitedMs.toFixed(2)} ms`,
      collectedMs > 0 ? `, collected garbage ${collectedMs.toFixed(2)} ms` : '',
      happened.length > 0 ? `; just before: ${happened.join(', ')}` : '',
    ].join(''),
  );
}
