/** The time over which messages are counted, in milliseconds, and the number of slices it is cut into. */
const WINDOW_MS = 1000;
const SLICES = 10;

/**
 * Opens when one input sends more messages within a second than any player could: then it hears its own output. It
 * stays open until it is closed by hand.
 *
 * Hot path: allocates nothing. The second slides on in steps of a tenth.
 *
 * @example
 * const fuse = new RateFuse(8000);
 * if (!fuse.take(nowMs)) return;  // open: the message goes nowhere
 */
export class RateFuse {
  readonly #most: number;
  readonly #slices = new Uint32Array(SLICES);
  #slice = 0;
  #sum = 0;
  #isOpen = false;

  /** @param most messages a second that still pass */
  constructor(most: number) {
    this.#most = most;
  }

  get isOpen(): boolean {
    return this.#isOpen;
  }

  /** Counts a message. @returns whether it may pass */
  take(nowMs: number): boolean {
    if (this.#isOpen) return false;
    this.#moveTo(Math.floor((nowMs * SLICES) / WINDOW_MS));
    this.#slices[this.#slice % SLICES]++;
    this.#sum++;
    if (this.#sum > this.#most) this.#isOpen = true;
    return !this.#isOpen;
  }

  /** Messages pass again, counted from nothing. */
  close(): void {
    this.#isOpen = false;
    this.#slices.fill(0);
    this.#sum = 0;
  }

  #moveTo(slice: number): void {
    if (slice === this.#slice) return;
    // A clock that went back, or forward by more than a window, begins anew.
    if (slice < this.#slice || slice >= this.#slice + SLICES) {
      this.#slices.fill(0);
      this.#sum = 0;
    } else {
      for (let next = this.#slice + 1; next <= slice; next++) {
        this.#sum -= this.#slices[next % SLICES];
        this.#slices[next % SLICES] = 0;
      }
    }
    this.#slice = slice;
  }
}
