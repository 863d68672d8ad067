/** What is pulled home, how fast, and until how near. In cents, and cents a second. */
export interface PullBand {
  readonly leewayCents: number;
  readonly rateCentsPerSecond: number;
}

/**
 * Where the sounding body stands at each strike while `pull` draws it home: the first at home, the others where the music
 * and the pull have brought them, just as each begins. Taken as if what a strike sounds went on to the next.
 *
 * @param bodies  how far from home each strike would stand with the offset at 0, in cents
 * @param seconds how long each of them is the last one
 * @example toPulledBodies(Float64Array.of(0, -21.5, -21.5), Float64Array.of(1, 1, 1), { leewayCents: 2, rateCentsPerSecond: 3 })
 *   // [0, -21.5, -18.5]
 */
export function toPulledBodies(
  bodies: Readonly<Float64Array>,
  seconds: Readonly<Float64Array>,
  { leewayCents, rateCentsPerSecond }: PullBand,
): Float64Array {
  let offsetCents = bodies.length === 0 ? 0 : -bodies[0];
  return bodies.map((cents, at) => {
    const body = cents + offsetCents;
    const most = rateCentsPerSecond * seconds[at];
    const wanted = Math.max(-leewayCents, Math.min(leewayCents, body)) - body;
    offsetCents += Math.max(-most, Math.min(most, wanted));
    return body;
  });
}
