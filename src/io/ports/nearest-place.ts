import { fail, type Outcome } from '../../core/outcome.js';
import { findNearest } from '../../core/words/index.js';
import { formatPlace, matchPort } from './match-port.js';
import type { PortPlace } from './port-system.js';

/** At most every third letter of a name may be wrong: other names are near too, and none may be right. */
const MOST_WRONG = 1 / 3;
/** Parts of a name with fewer letters are near to anything. */
const FEWEST_LETTERS = 4;

/**
 * The name a person most likely meant by one that matches no port: a whole name or a few of its words, as a port's name
 * may have more. Undefined if none is near, or if the name could mean several.
 *
 * @example nearestPort('Stage Pinao', [{ name: 'Stage Piano:Stage Piano MIDI 1', occurrence: 1 }])  // 'Stage Piano'
 */
export function nearestPort(wanted: string, places: readonly PortPlace[]): string | undefined {
  const names = places.flatMap((place) => [formatPlace(place), ...toParts(place.name)]);
  const nearest = findNearest(wanted.trim(), names, MOST_WRONG);
  return nearest !== undefined && matchPort(nearest, places).ok ? nearest : undefined;
}

/**
 * As `matchPort`; where the name matches nothing, the advice begins with the one that may be meant.
 *
 * @example lookUpPort('Snyth', [{ name: 'Synth', occurrence: 1 }])
 *   // { ok: false, problem: { code: 'PORT_MISSING', …, advice: 'Did you mean "Synth"? There are: "Synth".' } }
 */
export function lookUpPort(wanted: string, places: readonly PortPlace[]): Outcome<PortPlace> {
  const found = matchPort(wanted, places);
  const nearest = found.ok || found.problem.code !== 'PORT_MISSING' ? undefined : nearestPort(wanted, places);
  if (found.ok || nearest === undefined) return found;
  return fail({ ...found.problem, advice: `Did you mean "${nearest}"? ${found.problem.advice}` });
}

/** Words in a row, as written; those of both sides of a colon. */
function toParts(name: string): string[] {
  return name
    .split(':')
    .flatMap((side) => {
      const words = side.split(' ').filter((word) => word !== '');
      return words.flatMap((_, from) =>
        words.slice(from).map((_, i) => words.slice(from, from + i + 1).join(' ')),
      );
    })
    .filter((part) => part.length >= FEWEST_LETTERS);
}
