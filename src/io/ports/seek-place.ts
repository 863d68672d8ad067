import type { Problem } from '../../core/outcome.js';
import { LeewayError } from '../leeway-error.js';
import { isNumbered, isPassThrough, matchPort } from './match-port.js';
import { lookUpPort } from './nearest-place.js';
import { cycleError, missingError, twiceError } from './port-problems.js';
import type { PortList, PortPlace } from './port-system.js';
import type { Direction, WantedPort } from './wanted-port.js';

/** A wanted port, and the place where it is open; undefined if it isn't. */
export interface Holder {
  readonly port: WantedPort;
  readonly place: PortPlace | undefined;
}

/** The result for a wanted port: its place, why there is none, or why it must not be opened. */
export type Sought =
  | { readonly kind: 'here'; readonly place: PortPlace }
  | { readonly kind: 'away'; readonly reason: LeewayError }
  | { readonly kind: 'refused'; readonly reason: LeewayError };

/**
 * The place for a wanted port, by the present ports and those in use.
 *
 * Refused are feedback loops: an output to an input of ours, or the other way round, and a pass-through port in both
 * directions (PORT_CYCLE). Also a place in use under another name (PORT_TWICE), which would play every note twice. Away
 * are missing ports (PORT_MISSING), and ambiguous names (PORT_AMBIGUOUS).
 *
 * @param port    one of another program or a device; it isn't open
 * @param holders all that is wanted
 * @example
 * const list = { inputs: [{ name: 'Keys', occurrence: 1 }], outputs: [] };
 * seekPlace({ direction: 'input', name: 'keys', own: false }, list, [])
 * // { kind: 'here', place: { name: 'Keys', occurrence: 1 } }
 */
export function seekPlace(port: WantedPort, list: PortList, holders: readonly Holder[]): Sought {
  const { direction, name } = port;
  const places = direction === 'input' ? list.inputs : list.outputs;
  const found = lookUpPort(name, places);
  if (!found.ok) {
    return isOurOwn(port, holders)
      ? { kind: 'refused', reason: cycleError(direction, name) }
      : { kind: 'away', reason: toReason(found.problem, port) };
  }
  const isTaken = (one: PortPlace): boolean => findHolder(holders, direction, one) !== undefined;
  // Where an equal name came or went, numbers moved: open ports stay, and the free one is taken.
  const place =
    places.find((one) => one.name === found.value.name && !isTaken(one) && isTaken(found.value)) ??
    found.value;
  if (isTaken(place) && isNumbered(name))
    return { kind: 'away', reason: missingError(direction, { name, occurrence: 1 }) };
  const reason = refuse(port, place, holders);
  return reason === undefined ? { kind: 'here', place } : { kind: 'refused', reason };
}

/** Whether the name means a port of ours, in the other direction. */
function isOurOwn({ direction, name }: WantedPort, holders: readonly Holder[]): boolean {
  const own = holders.filter(({ port }) => port.own && port.direction !== direction);
  return matchPort(
    name,
    own.map(({ port }) => ({ name: port.name, occurrence: 1 })),
  ).ok;
}

function refuse(
  { direction, name }: WantedPort,
  place: PortPlace,
  holders: readonly Holder[],
): LeewayError | undefined {
  const holder = findHolder(holders, direction, place);
  if (holder !== undefined) return twiceError(direction, name, holder.port.name);
  const opposite = findHolder(holders, direction === 'input' ? 'output' : 'input', place);
  return opposite !== undefined && isPassThrough(place) ? cycleError(direction, name) : undefined;
}

function findHolder(
  holders: readonly Holder[],
  direction: Direction,
  { name, occurrence }: PortPlace,
): Holder | undefined {
  return holders.find(
    ({ port, place }) =>
      port.direction === direction && !port.own && place?.name === name && place.occurrence === occurrence,
  );
}

/** Why a name matches no port, in words. */
function toReason({ code, advice }: Problem, { direction, name }: WantedPort): LeewayError {
  const message =
    code === 'PORT_AMBIGUOUS'
      ? `"${name}" means several MIDI ${direction}s.`
      : missingError(direction, { name, occurrence: 1 }).message;
  return new LeewayError({ code, message, advice });
}
