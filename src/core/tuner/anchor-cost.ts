import type { Candidate } from './candidates.js';
import { toReturnCents } from './common-offset.js';
import type { ClassChoice, WholeCost } from './joint-choice.js';
import type { Tuner } from './tuner.js';

/** From this distance on a note is heard to come back elsewhere; common practice, no source. */
const NOTICED_CENTS = 5;

/**
 * What a way of placing an anchored strike costs because of where the anchor then puts everything: each cent that tied
 * notes have to move, and each key class that comes back at another pitch than it was last heard at.
 *
 * Lattice points alone don't tell. Under a narrow band a comma on the lattice may be none in pitch, since the common
 * offset goes the other way; and a seventh that is pure on top of its chord pushes its three other notes down. So the
 * price of coming back, which each candidate bears by itself under the other strategies, is here borne by the whole, by
 * the pitch that is heard. The narrower the band, the more it is the pitch that shall stand still: both prices rise.
 *
 * @example new AnchorCost(tuner, 4000).of(classes, chosen) // 1.05: under the strict anchor two tied notes move by 1.5 cents
 */
export class AnchorCost implements WholeCost {
  readonly #tuner: Tuner;
  readonly #atMs: number;
  /** How many notes are tied over into the strike. */
  readonly #tied: number;
  /** How many notes weigh on where the body is put, and the sum of their distances from home without the common offset. */
  readonly #bodySize: number;
  readonly #bodyCents: number;
  readonly #tiedPrice: number;
  readonly #returnPrice: number;
  readonly #fadings = NOT_ASKED.slice();

  /**
   * @param tuner as it was before the strike, but for notes that aren't settled
   * @param atMs  when the strike began: what was heard is as old as it was then, whichever finger lands last
   */
  constructor(tuner: Tuner, atMs: number) {
    const { notes, settings } = tuner;
    const { home, weights, held, leewayCents } = settings;
    let tied = 0;
    let tiedCents = 0;
    for (const note of notes) {
      if (!note.settled) continue;
      tied++;
      tiedCents += note.deviationCents - home.deviationCents(note.keyClass);
    }
    const narrowness = 1 / (1 + leewayCents / weights.narrowCents);
    this.#tuner = tuner;
    this.#atMs = atMs;
    this.#tied = tied;
    // Tied notes that stay don't weigh on where the new ones are put.
    this.#bodySize = held === 'follow' ? tied : 0;
    this.#bodyCents = held === 'follow' ? tiedCents : 0;
    this.#tiedPrice = weights.tiedPrice * narrowness;
    this.#returnPrice = weights.returnPrice * (1 + weights.narrowReturn * narrowness);
  }

  /** The price of one choice; 0 where nothing moves. */
  of(classes: readonly ClassChoice[], chosen: readonly Candidate[]): number {
    const { settings, offset, driftHeld, ledger } = this.#tuner;
    const { home, weights } = settings;
    const from = offset.strikeBaseCents;
    let count = this.#bodySize;
    let sum = this.#bodyCents;
    for (let i = 0; i < classes.length; i++) {
      const one = classes[i];
      count += one.count;
      sum += one.count * (chosen[i].deviationCents - home.deviationCents(one.keyClass));
    }
    const move = driftHeld ? 0 : toReturnCents(sum / count + from, settings.leewayCents);
    let cost = this.#tiedPrice * this.#tied * Math.abs(move);
    for (let i = 0; i < classes.length; i++) {
      const { keyClass, count: its } = classes[i];
      const fading = this.#fadingOf(keyClass);
      if (fading === 0) continue;
      const { lastPitchCents } = ledger.accounts[keyClass]!;
      const jump = Math.abs(chosen[i].deviationCents + from + move - lastPitchCents);
      const step = jump > NOTICED_CENTS ? weights.returnStep : 0;
      cost += its * this.#returnPrice * fading * (step + Math.min(3, jump / weights.returnCents));
    }
    return cost;
  }

  #fadingOf(keyClass: number): number {
    const known = this.#fadings[keyClass];
    if (known !== UNKNOWN) return known;
    const fading = toFading(this.#tuner, keyClass, this.#atMs);
    this.#fadings[keyClass] = fading;
    return fading;
  }
}

/** By key class: worked out when it is asked for. */
const UNKNOWN = -1;
const NOT_ASKED: readonly number[] = Array.from({ length: 12 }, () => UNKNOWN);

/** How much it still matters where a key class was heard last: 1 when it has just ended, 0 while it sounds. */
function toFading({ notes, memory, settings }: Tuner, keyClass: number, atMs: number): number {
  const slot = memory[keyClass];
  if (slot === undefined) return 0;
  for (const note of notes) if (note.settled && note.keyClass === keyClass) return 0;
  return Math.exp((slot.endedMs - atMs) / 1000 / settings.weights.returnSeconds);
}
