import { toReturnCents } from './common-offset.js';
import type { WholeCost } from './joint-choice.js';
import type { TunerSettings } from './settings.js';
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
 * @param tuner with an open strike, which doesn't take its place anew
 * @param atMs  when that strike began: what was heard is as old as it was then, whichever finger lands last
 * @returns the price of one choice, 0 where nothing moves
 * @example toAnchorCost(tuner, 4000)(classes, chosen) // 1.05: under the strict anchor two tied notes move by 1.5 cents
 */
export function toAnchorCost(tuner: Tuner, atMs: number): WholeCost {
  const { settings, offset, driftHeld } = tuner;
  const { home, weights, held, leewayCents } = settings;
  const tiedPrice = weights.tiedPrice * toNarrowness(settings);
  const from = offset.strikeBaseCents;
  const { tied, tiedCents } = toTied(tuner);
  const { lastCents, prices } = toHeard(tuner, atMs);
  // Tied notes that stay don't weigh on where the new ones are put.
  const bodySize = held === 'follow' ? tied : 0;
  const bodyCents = held === 'follow' ? tiedCents : 0;
  return (classes, chosen) => {
    let count = bodySize;
    let sum = bodyCents;
    for (let i = 0; i < classes.length; i++) {
      const one = classes[i];
      count += one.count;
      sum += one.count * (chosen[i].deviationCents - home.deviationCents(one.keyClass));
    }
    const move = driftHeld ? 0 : toReturnCents(sum / count + from, leewayCents);
    let cost = tiedPrice * tied * Math.abs(move);
    for (let i = 0; i < classes.length; i++) {
      const { keyClass, count: its } = classes[i];
      const price = prices[keyClass];
      if (price === 0) continue;
      const jump = Math.abs(chosen[i].deviationCents + from + move - lastCents[keyClass]);
      cost +=
        its *
        price *
        ((jump > NOTICED_CENTS ? weights.returnStep : 0) + Math.min(3, jump / weights.returnCents));
    }
    return cost;
  };
}

/** How many notes are tied over into the strike, and the sum of their distances from home without the common offset. */
function toTied({ notes, settings: { home } }: Tuner): { tied: number; tiedCents: number } {
  let tied = 0;
  let tiedCents = 0;
  for (const note of notes) {
    if (!note.settled) continue;
    tied++;
    tiedCents += note.deviationCents - home.deviationCents(note.keyClass);
  }
  return { tied, tiedCents };
}

/** 1 for the strict anchor, and the less the wider the band: 0 if it had no end. */
function toNarrowness({ leewayCents, weights }: TunerSettings): number {
  return 1 / (1 + leewayCents / weights.narrowCents);
}

const ZEROS: readonly number[] = Array.from({ length: 12 }, () => 0);

/** By key class: where those that are silent were last heard, in cents off their key, and the price of elsewhere. */
function toHeard(tuner: Tuner, atMs: number): { lastCents: readonly number[]; prices: readonly number[] } {
  const { notes, memory, ledger, settings } = tuner;
  const { returnPrice, returnSeconds, narrowReturn } = settings.weights;
  const price = returnPrice * (1 + narrowReturn * toNarrowness(settings));
  const lastCents = ZEROS.slice();
  const prices = ZEROS.slice();
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const slot = memory[keyClass];
    const account = ledger.accounts[keyClass];
    if (slot === undefined || account === undefined) continue;
    lastCents[keyClass] = account.lastPitchCents;
    prices[keyClass] = price * Math.exp((slot.endedMs - atMs) / 1000 / returnSeconds);
  }
  for (const note of notes) if (note.settled) prices[note.keyClass] = 0;
  return { lastCents, prices };
}
