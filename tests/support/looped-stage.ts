import type { LiveSettings } from '../../src/app/live/live-settings.js';
import { DIN_BYTES_PER_SECOND } from './fake-devices.js';
import { Stage } from './stage.js';

/** How what is sent comes back in: before the send returns, over a DIN cable, or so many milliseconds later. */
export type Cable = 'at once' | 'din' | number;

/** More than any test sends: a loop that nothing stops. */
const ENDLESS = 20_000;

/** A stage whose synth's cable leads back into the keyboard's input, from `join` to `part`. */
export class LoopedStage extends Stage {
  readonly #cable: Cable;
  /** What is under way, in order. */
  readonly #flying: { readonly bytes: Uint8Array; readonly atMs: number }[] = [];
  #isJoined = false;
  #cableFreeMs = 0;
  /** When the loop was found. */
  foundMs: number | undefined;

  constructor(cable: Cable, settings?: LiveSettings) {
    super(settings);
    this.#cable = cable;
  }

  join(): this {
    this.#isJoined = true;
    const { synth } = this;
    const receive = synth.receive.bind(synth);
    synth.receive = (bytes) => {
      receive(bytes);
      if (synth.sends > ENDLESS) throw new Error('It goes round for ever.');
      if (this.#isJoined) this.#sendBack(Uint8Array.from(bytes));
    };
    return this;
  }

  /** Pulls the cable. What is under way is lost. */
  part(): this {
    this.#isJoined = false;
    this.#flying.length = 0;
    return this;
  }

  /** How many messages are under way. */
  get flying(): number {
    return this.#flying.length;
  }

  override strike(...keys: number[]): this {
    super.strike(...keys);
    return this.#look();
  }

  override wait(ms: number): this {
    const untilMs = this.nowMs + ms;
    while (this.nowMs < untilMs) {
      const nextMs = Math.min(
        untilMs,
        this.nowMs + 1,
        Math.max(this.nowMs, this.#flying[0]?.atMs ?? untilMs),
      );
      super.wait(nextMs - this.nowMs);
      while (this.#flying.length > 0 && this.#flying[0].atMs <= this.nowMs) {
        this.keys.feed(...this.#flying.shift()!.bytes);
        this.#look();
      }
    }
    return this;
  }

  #look(): this {
    if (this.told().includes('loop-found')) this.foundMs ??= this.nowMs;
    return this;
  }

  #sendBack(bytes: Uint8Array): void {
    if (this.#cable === 'at once') {
      this.keys.feed(...bytes);
      return;
    }
    if (this.#cable === 'din') {
      this.#cableFreeMs =
        Math.max(this.nowMs, this.#cableFreeMs) + (1000 * bytes.length) / DIN_BYTES_PER_SECOND;
      this.#flying.push({ bytes, atMs: this.#cableFreeMs });
    } else this.#flying.push({ bytes, atMs: this.nowMs + this.#cable });
  }
}
