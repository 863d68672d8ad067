import { META, type MidiFile, type TrackEvent } from '../../src/core/midi/index.js';
import { createRandom } from '../support/random.js';

const TRACKS = 4;
/** All but percussion's. */
const CHANNELS = [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15];
const LOWEST = 24;
const KEYS = 84;
const TICKS_PER_QUARTER = 480;
/** Most notes struck at one time, most ticks to the next, and the ticks a key is down. At 120 quarters a tick is 1.04 ms. */
const MOST_STRUCK = 8;
const MOST_APART = 120;
const LEAST_DOWN = 50;
const MOST_DOWN = 500;

/** One channel of one track: its keys that are down, and what its pedal alone still holds. */
interface Player {
  readonly track: number;
  readonly channel: number;
  readonly down: Set<number>;
  readonly ringing: Set<number>;
  pedal: boolean;
}

/**
 * Notes at random on sixty channels of four tracks, with pedals at random that hold more and more of them: where they
 * would hold more than `mostHeld`, the fullest channel's pedal comes up. The same file every time.
 */
export function makeNoisyFile(notes: number, mostHeld: number): MidiFile {
  const random = createRandom(1);
  const events: TrackEvent[][] = Array.from({ length: TRACKS }, () => []);
  const players = events.flatMap((_, track) =>
    CHANNELS.map((channel): Player => {
      return { track, channel, down: new Set(), ringing: new Set(), pedal: false };
    }),
  );
  const releases = new Map<number, { player: Player; key: number }[]>();
  let tick = 0;
  let sounding = 0;
  const send = ({ track, channel }: Player, type: number, data1: number, data2: number): void => {
    events[track].push({ kind: 'channel', tick, status: type | channel, data1, data2 });
  };
  const release = (player: Player, key: number): void => {
    send(player, 0x80, key, 64);
    player.down.delete(key);
    if (player.pedal) player.ringing.add(key);
    else sounding -= 1;
  };
  const movePedal = (player: Player, isDown: boolean): void => {
    if (player.pedal === isDown) return;
    player.pedal = isDown;
    send(player, 0xb0, 64, isDown ? 127 : 0);
    if (isDown) return;
    sounding -= player.ringing.size;
    player.ringing.clear();
  };
  const strike = (player: Player, key: number): void => {
    send(player, 0x90, key, 40 + random(80));
    if (!player.ringing.delete(key)) sounding += 1;
    player.down.add(key);
    const at = tick + LEAST_DOWN + random(MOST_DOWN - LEAST_DOWN);
    releases.set(at, [...(releases.get(at) ?? []), { player, key }]);
  };
  const goTo = (until: number): void => {
    for (; tick < until; tick++) {
      for (const { player, key } of releases.get(tick) ?? []) release(player, key);
      releases.delete(tick);
    }
  };
  for (let count = 0; count < notes; ) {
    goTo(tick + random(MOST_APART));
    movePedal(players[random(players.length)], random(20) > 0);
    for (let left = 1 + random(MOST_STRUCK); left > 0 && count < notes; left--) {
      const player = players[random(players.length)];
      const key = LOWEST + random(KEYS);
      if (player.down.has(key)) continue;
      if (sounding >= mostHeld) movePedal(toFullest(players), false);
      strike(player, key);
      count += 1;
    }
  }
  goTo(tick + LEAST_DOWN + MOST_DOWN);
  const chunks = events.map((list) => {
    list.push({ kind: 'meta', tick, type: META.endOfTrack, data: new Uint8Array(0) });
    return { kind: 'track' as const, events: list };
  });
  const division = { kind: 'ppq' as const, ticksPerQuarter: TICKS_PER_QUARTER };
  return { format: 1, division, headerExtra: new Uint8Array(0), chunks, wrapper: 'none' };
}

function toFullest(players: readonly Player[]): Player {
  return players.reduce((best, one) => (one.ringing.size > best.ringing.size ? one : best));
}
