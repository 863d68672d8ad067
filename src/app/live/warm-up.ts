import { ReplayBuffer } from '../../core/monitor/index.js';
import { STRATEGIES } from '../../core/tuner/index.js';
import type { InputLink, OutputLink, PortPlace, PortSystem } from '../../io/ports/index.js';
import { LiveSession } from './live-session.js';
import type { LiveSettings } from './live-settings.js';
import { PagePieces } from './page-pieces.js';
import type { NamedPiece } from './piece-stretch.js';

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
  let nowMs = 0;
  const endMs = clock() + MOST_MS;
  const session = startSilent(settings, () => nowMs);
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

/**
 * The same for what the page asks of a session while others play: a piece is started, taken to other places, and heard
 * under each strategy.
 * @returns how many notes sounded at the end: those of a chord
 */
export function warmUpPage(settings: LiveSettings, piece: NamedPiece): number {
  let nowMs = 0;
  const now = () => nowMs;
  const session = startSilent(settings, now);
  const facts = { ...NO_FACTS, leewayCents: { pull: 0, anchored: 0 } };
  const buffer = new ReplayBuffer(settings.tuner, facts);
  const pieces = new PagePieces([piece], {
    clock: { now, every: () => ({ stop() {} }) },
    session: () => session,
    tell: (message) => buffer.add(message),
    passed() {},
  });
  pieces.player.start(piece, { tempo: 1, loop: true });
  for (let n = 0; n < MOVES; n++) {
    nowMs += 100;
    pieces.player.seek(2 + (n % 3), 700 * n);
    pieces.player.step(n % 2 === 0 ? 1 : -1);
    const tuner = buffer.toTuner(STRATEGIES[n % STRATEGIES.length]);
    if (tuner !== undefined) session.hearing.adopt(tuner);
    nowMs += 100;
    session.tick();
  }
  const sounding = session.line.tuner.notes.length;
  pieces.player.stop();
  session.stop();
  return sounding;
}

/** How often a piece is taken elsewhere. */
const MOVES = 16;

const NO_FACTS = {
  bypass: false,
  addresses: [],
  stories: [],
  inputs: [],
  outputs: [],
  carries: 'nothing',
} as const;

/** A session on ports that send nothing. */
function startSilent(settings: LiveSettings, now: () => number): LiveSession {
  const session = new LiveSession(
    { ...settings, actions: [], lamps: [], fuse: Number.POSITIVE_INFINITY, takeDirectory: undefined },
    { ports: toNowhere(settings), now, tell: () => {}, wake: () => {} },
  );
  session.start();
  return session;
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
