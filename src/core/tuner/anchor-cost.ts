import { type CommonOffset, toReturnCents } from './common-offset.js';
import type { Ledger } from './ledger.js';
import type { Memory } from './memory.js';
import type { TunerSettings } from './settings.js';
import type { SoundingPoints } from './sounding-points.js';
import type { WholeCost } from './strike-choice.js';
import type { Struck } from './struck-classes.js';
import { toFading } from './weights.js';

/** From this distance on a note is heard to come back elsewhere; common practice, no source. */
const NOTICED_CENTS = 5;
const UNKNOWN = -1;

/** What has to be known of a tuner. */
interface AnchoredTuner {
  readonly sounding: SoundingPoints;
  readonly memory: Memory;
  readonly ledger: Ledger;
  readonly settings: TunerSettings;
  readonly offset: CommonOffset;
  readonly driftHeld: boolean;
}

/**
 * What a way of placing an anchored strike costs because of where the anchor then puts everything: each cent that tied
 * notes have to move, and each key class that comes back at another pitch than it was last heard at.
 *
 * Lattice points alone don't tell. Under a narrow band a comma on the lattice may be none in pitch, since the common
 * offset goes the other way; and a seventh that is pure on top of its chord pushes its three other notes down. So the
 * price of coming back, which each candidate bears by itself under the other strategies, is here borne by the whole, by
 * the pitch that is heard. The narrower the band, the more it is the pitch that shall stand still: both prices rise.
 *
 * @example anchorCost.of(struck, deviationCents)  // 1.05: under the strict anchor two tied notes move by 1.5 cents
 */
export class AnchorCost implements WholeCost {
  #settings: TunerSettings | undefined;
  #fromCents = 0;
  #driftHeld = false;
  /** How many notes are tied over into the strike. */
  #tied = 0;
  /** How many notes weigh on where the body is put, and the sum of their distances from home without the common offset. */
  #bodySize = 0;
  #bodyCents = 0;
  #tiedPrice = 0;
  #returnPrice = 0;
  /** By key class: how long ago it ended, Infinity where it sounds or never did; and its pitch then, off its key. */
  readonly #ageSeconds = new Float64Array(12);
  readonly #lastCents = new Float64Array(12);
  /** How much it still matters where it was heard last: worked out when it is asked for. */
  readonly #fadings = new Float64Array(12);

  /**
   * Hears what was there before a strike.
   *
   * @param tuner as it was before the strike, but for notes that aren't settled
   * @param atMs  when the strike began: what was heard is as old as it was then, whichever finger lands last
   */
  hear({ sounding, memory, ledger, settings, offset, driftHeld }: AnchoredTuner, atMs: number): void {
    const { weights, held, leewayCents } = settings;
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      const slot = memory[keyClass];
      this.#ageSeconds[keyClass] = slot === undefined ? Infinity : (atMs - slot.endedMs) / 1000;
      this.#fadings[keyClass] = UNKNOWN;
      this.#lastCents[keyClass] = ledger.accounts[keyClass]?.lastPitchCents ?? 0;
    }
    const tied = sounding.size;
    const tiedCents = sounding.toCentsSum(settings);
    for (const { keyClass } of sounding) this.#ageSeconds[keyClass] = Infinity;
    const narrowness = 1 / (1 + leewayCents / weights.narrowCents);
    this.#settings = settings;
    this.#fromCents = offset.strikeBaseCents;
    this.#driftHeld = driftHeld;
    this.#tied = tied;
    // Tied notes that stay don't weigh on where the new ones are put.
    this.#bodySize = held === 'follow' ? tied : 0;
    this.#bodyCents = held === 'follow' ? tiedCents : 0;
    this.#tiedPrice = weights.tiedPrice * narrowness;
    this.#returnPrice = weights.returnPrice * (1 + weights.narrowReturn * narrowness);
  }

  /** The price of one choice; 0 where nothing moves. */
  of({ size, classes, counts }: Struck, deviationCents: Float64Array): number {
    const { home, weights, leewayCents } = this.#settings!;
    const from = this.#fromCents;
    let count = this.#bodySize;
    let sum = this.#bodyCents;
    for (let i = 0; i < size; i++) {
      const keyClass = classes[i];
      count += counts[keyClass];
      sum += counts[keyClass] * (deviationCents[keyClass] - home.deviationCents[keyClass]);
    }
    const move = this.#driftHeld ? 0 : toReturnCents(sum / count + from, leewayCents);
    let cost = this.#tiedPrice * this.#tied * Math.abs(move);
    for (let i = 0; i < size; i++) {
      const keyClass = classes[i];
      const fading = this.#fadingOf(keyClass);
      if (fading === 0) continue;
      const jump = Math.abs(deviationCents[keyClass] + from + move - this.#lastCents[keyClass]);
      const step = jump > NOTICED_CENTS ? weights.returnStep : 0;
      cost += this.#returnPrice * fading * (step + Math.min(3, jump / weights.returnCents));
    }
    return cost;
  }

  #fadingOf(keyClass: number): number {
    let fading = this.#fadings[keyClass];
    if (fading === UNKNOWN) {
      fading = toFading(this.#settings!.weights, this.#ageSeconds[keyClass]);
      this.#fadings[keyClass] = fading;
    }
    return fading;
  }
}
