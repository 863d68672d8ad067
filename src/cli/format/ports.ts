import type { Outcome } from '../../core/outcome.js';
import { type Direction, formatPlace, type PortList, type PortPlace } from '../../io/ports/index.js';
import { wrap } from './wrap.js';

/** A wanted port, and what its name means here. */
export interface PortLookup {
  readonly direction: Direction;
  readonly name: string;
  /** Whether it is made while playing. */
  readonly own: boolean;
  /** Undefined for ports to be made. */
  readonly found: Outcome<PortPlace> | undefined;
  /** The name that may be meant, if there is no port of this one. */
  readonly nearest?: string | undefined;
}

const INDENT = 8;

/**
 * The present ports, and what the wanted ones mean.
 *
 * @example formatPorts({ inputs: [{ name: 'Keys', occurrence: 1 }], outputs: [] }, [])
 *   // ['in      Keys', 'out     nothing can be played']
 */
export function formatPorts({ inputs, outputs }: PortList, lookups: readonly PortLookup[]): string[] {
  return [
    ...formatPlaces('in', inputs, 'nothing plays'),
    ...formatPlaces('out', outputs, 'nothing can be played'),
    ...formatLookups(
      'ours',
      lookups.filter(({ own }) => own),
    ),
    ...formatLookups(
      'wanted',
      lookups.filter(({ own }) => !own),
    ),
  ];
}

function formatPlaces(head: string, places: readonly PortPlace[], none: string): string[] {
  if (places.length === 0) return [head.padEnd(INDENT) + none];
  return places.map((place, i) => (i === 0 ? head : '').padEnd(INDENT) + formatPlace(place));
}

function formatLookups(head: string, lookups: readonly PortLookup[]): string[] {
  return lookups.flatMap((lookup, i) => wrap((i === 0 ? head : '').padEnd(INDENT), formatLookup(lookup)));
}

function formatLookup({ direction, name, found, nearest }: PortLookup): string {
  const way = direction === 'input' ? 'in' : 'out';
  if (found === undefined) return `${way} "${name}": made while playing`;
  if (found.ok) return `${way} "${name}": opens ${formatPlace(found.value)}`;
  if (found.problem.code === 'PORT_AMBIGUOUS')
    return `${way} "${name}": means several. ${found.problem.advice}`;
  const meant = nearest === undefined ? '' : `. Did you mean "${nearest}"?`;
  return `${way} "${name}": isn't there; opened when it comes${meant}`;
}
