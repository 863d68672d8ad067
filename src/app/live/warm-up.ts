import type { InputLink, OutputLink, PortPlace, PortSystem } from '../../io/ports/index.js';
import { LiveSession } from './live-session.js';
import type { LiveSettings } from './live-settings.js';

/** How many chords, enough for the compiler to have seen everything a performance does. */
const CHORDS = 400;
/** A slow computer plays fewer: nobody waits longer for the first note, in milliseconds. */
const MOST_MS = 3000;
const ROOTS = [0, 5, 7, 2, 9, 4];
const CHORD = [36, 48, 55, 60, 64, 67, 70];

/**
 * Plays a few hundred chords to nowhere, so that the first notes of a performance are as fast as later ones: code that
 * has hardly run yet is several times slower. Takes a fraction of a second, and leaves nothing behind.
 *
 * @param settings of the session that is about to begin
 * @param clock    real time in milliseconds
 * @returns how many messages its outlets sent to nowhere
 */
export function warmUp(settings: LiveSettings, clock: () => number): number {
  const ports = toNowhere(settings);
  let nowMs = 0;
  const endMs = clock() + MOST_MS;
  const session = new LiveSession(
    { ...settings, actions: [], lamps: [], fuse: Number.POSITIVE_INFINITY, takeDirectory: undefined },
    { ports, now: () => nowMs, tell: () => {}, wake: () => {} },
  );
  session.start();
  const play = (...bytes: number[]): void => session.playOnPage(Uint8Array.from(bytes));
  for (let n = 0; n < CHORDS && clock() < endMs; n++) {
    const keys = CHORD.map((key) => key + ROOTS[n % ROOTS.length]);
    for (const key of keys) {
      play(0x90, key, 1);
      nowMs += 2;
    }
    for (let tick = 0; tick < 5; tick++) {
      nowMs += 20;
      session.tick();
    }
    play(0xb0, 64, n % 3 === 0 ? 127 : 0);
    play(0xe0, n % 128, 64);
    // Some are tied over.
    for (const key of keys.slice(n % 3)) play(0x80, key, 64);
    if (n % 50 === 49) play(0xb0, 123, 0);
  }
  session.stop();
  return session.outlets.reduce((sum, { sink }) => sum + sink.sentMessages, 0);
}

/** Ports under the wanted names that receive and send nothing. */
function toNowhere({ outlets }: LiveSettings): PortSystem {
  const toInput = ({ name }: PortPlace): InputLink => {
    const place = { name, occurrence: 1 };
    return { placeNow: () => place, close() {} };
  };
  const toOutput = (place: PortPlace): OutputLink => ({ ...toInput(place), send() {} });
  return {
    virtualPorts: true,
    list: () => ({ inputs: [], outputs: outlets.map(({ port }) => ({ name: port, occurrence: 1 })) }),
    openInput: toInput,
    openOutput: toOutput,
    createInput: (name) => toInput({ name, occurrence: 1 }),
    createOutput: (name) => toOutput({ name, occurrence: 1 }),
    close() {},
  };
}
