import { CONTROL_CHANGE, isNoteOn, type Track } from '../midi/index.js';
import { isSameRole, type PartRole, type Role, type RoleOf, toDefaultRole } from './roles.js';
import { type TrackZones, toTrackZones } from './track-zones.js';

/**
 * One stream of playing in a file: the notes of a channel, or of an MPE zone, within one track or across all of them. Never
 * untuned.
 */
export interface Part extends PartRole {
  readonly role: Exclude<Role, 'untuned'>;
  readonly index: number;
  /** Index of its track; -1 when parts go by channel alone. */
  readonly track: number;
  /** Of a zone its manager. */
  readonly channel: number;
}

/** The parts of a file, and what becomes of each channel message. */
export interface PartMap extends Pick<TrackZones, 'managerOf' | 'fingerOf'> {
  readonly parts: readonly Part[];
  /** The part of a note; undefined for percussion, and what else isn't tuned. */
  partOf(track: number, channel: number): number | undefined;
  /** The parts a controller, program change, pressure or bend is for. Empty when nobody plays on that channel. */
  listenersOf(track: number, channel: number, status: number, data1: number): readonly number[];
  /** Whether a message goes out as it came: it is for others than the tuned parts, or for nobody. */
  passesOn(track: number, channel: number, status: number, data1: number): boolean;
}

/** Parts that belong to one track each. */
export interface TrackPartMap extends PartMap {
  /**
   * The channels on which a track has any message, percussion too: a bit each, and one for a whole zone. The notes of a
   * guide don't count.
   */
  channelsIn(track: number): number;
}

/**
 * Parts by channel, as one port would play them: a message's track doesn't matter, but for its role. Parts are counted
 * from 0. Can't fail; a file without notes has none.
 *
 * @param roleOf by default percussion isn't tuned, and everything else is
 */
export function toPartsByChannel(tracks: readonly Track[], roleOf: RoleOf = toDefaultRole): PartMap {
  const zones = toTrackZones(tracks);
  const { players, heard } = findPlayers(tracks, zones);
  const parts: Part[] = [];
  /** By part: a track that plays it. Tracks with zones of their own are separate instruments. */
  const tracksOf: number[] = [];
  for (const channel of toChannelOrder(tracks, zones)) {
    const onChannel = tracks.map((_, track) => toSlot(track, channel));
    const played = onChannel.filter((slot) => players[slot] !== NOBODY);
    // Where nobody plays, controllers are for whoever might.
    const first = onChannel.find((slot) => heard[slot] === 1);
    for (const slot of played.length > 0 || first === undefined ? played : [first]) {
      const track = toTrack(slot);
      const its = roleOf(track, channel);
      const known = parts.find(
        (part) =>
          part.channel === channel && isSameRole(part, its) && zones.areOne(tracksOf[part.index], track),
      );
      players[slot] = known?.index ?? addPart(parts, -1, channel, its);
      if (players[slot] >= 0) tracksOf[players[slot]] ??= track;
    }
  }
  return toPartMap(parts, players, zones, () => true);
}

/**
 * Parts by track and channel, as a studio plays them: each track on a separate instrument.
 *
 * In a file meant for one port every track that uses a channel shares it: a program change in the first track holds for
 * notes in the third. So a message goes to the part of its own track, and to each other part of its channel whose own
 * track has no message of that kind. A track that plays there itself speaks for parts of its own role alone.
 *
 * @param roleOf by default percussion isn't tuned, and everything else is
 */
export function toPartsByTrack(tracks: readonly Track[], roleOf: RoleOf = toDefaultRole): TrackPartMap {
  const zones = toTrackZones(tracks);
  const { players, order, kinds } = findPlayers(tracks, zones);
  const parts: Part[] = [];
  for (const slot of order) {
    const [track, channel] = [toTrack(slot), slot % 16];
    players[slot] = addPart(parts, track, channel, roleOf(track, channel));
  }
  const isGuide = (slot: number) => players[slot] >= 0 && parts[players[slot]].role === 'guide';
  const channels = tracks.map(({ events }, track) => {
    let its = 0;
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      const channel = zones.managerOf(track, event.status & 0x0f);
      if (!isNote(event.status) || !isGuide(toSlot(track, channel))) its |= 1 << channel;
    }
    return its;
  });
  return {
    ...toPartMap(parts, players, zones, (slot, kind) => !kinds.get(slot)?.has(kind)),
    channelsIn: (track) => channels[track],
  };
}

/** Nobody plays there; someone does who isn't tuned, and isn't heard. */
const NOBODY = -1;
const UNHEARD = -2;

/** @returns the index of the new part, or `UNHEARD` */
function addPart(parts: Part[], track: number, channel: number, { role, fixedCents }: PartRole): number {
  if (role === 'untuned') return UNHEARD;
  return parts.push({ index: parts.length, track, channel, role, fixedCents }) - 1;
}

/** What is said on each channel, or in each zone, of each track: a slot. */
interface Players {
  /** By slot: `NOBODY`, or the place in `order`. */
  readonly players: Int32Array;
  /** Slots with notes, in the order of their first ones. */
  readonly order: readonly number[];
  /** By slot: 1 where there is any message. */
  readonly heard: Uint8Array;
  /** By slot: the kinds of its messages, notes left out. */
  readonly kinds: ReadonlyMap<number, ReadonlySet<number>>;
}

function findPlayers(tracks: readonly Track[], zones: TrackZones): Players {
  const players = new Int32Array(16 * tracks.length).fill(NOBODY);
  const heard = new Uint8Array(16 * tracks.length);
  const order: number[] = [];
  const kinds = new Map<number, Set<number>>();
  tracks.forEach(({ events }, track) => {
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      const slot = toSlot(track, zones.managerOf(track, event.status & 0x0f));
      heard[slot] = 1;
      if (!isNote(event.status)) {
        const said = kinds.get(slot) ?? new Set<number>();
        kinds.set(slot, said.add(toKind(event.status, event.data1)));
      } else if (players[slot] === NOBODY && isNoteOn(event.status, event.data2))
        players[slot] = order.push(slot) - 1;
    }
  });
  return { players, order, heard, kinds };
}

/** The channels in the order of their first messages; of a zone its manager. */
function toChannelOrder(tracks: readonly Track[], zones: TrackZones): Set<number> {
  const channels = new Set<number>();
  tracks.forEach(({ events }, track) => {
    for (const event of events)
      if (event.kind === 'channel') channels.add(zones.managerOf(track, event.status & 0x0f));
  });
  return channels;
}

/** A message for some parts, and whether it goes out as it came. */
interface Route {
  readonly parts: readonly number[];
  readonly passes: boolean;
}

/**
 * @param players by slot: a part, `UNHEARD` or `NOBODY`
 * @param listens whether a slot also takes messages of a kind from other tracks
 */
function toPartMap(
  parts: readonly Part[],
  players: Readonly<Int32Array>,
  zones: TrackZones,
  listens: (slot: number, kind: number) => boolean,
): PartMap {
  const toNoteRoute = (track: number, channel: number): Route => {
    const own = players[toSlot(track, channel)];
    // By channel, a note-off may be in another track than its note.
    const part = own === NOBODY ? parts.find((its) => its.track < 0 && its.channel === channel) : parts[own];
    if (part === undefined) return { parts: [], passes: true };
    return { parts: [part.index], passes: part.role === 'fixed' };
  };
  const toRoute = (track: number, channel: number, kind: number): Route => {
    const own = players[toSlot(track, channel)];
    if (own === UNHEARD) return { parts: [], passes: true };
    const listeners = new Set<number>();
    for (let slot = channel; slot < players.length; slot += 16) {
      const player = players[slot];
      const other = toTrack(slot);
      if (player === NOBODY || (other !== track && !(zones.areOne(track, other) && listens(slot, kind))))
        continue;
      if (own === NOBODY || (player >= 0 && isSameRole(parts[own], parts[player]))) listeners.add(player);
    }
    const its = [...listeners].filter((player) => player !== UNHEARD);
    const areTuned = its.length === listeners.size && its.every((part) => parts[part].role === 'tuned');
    return { parts: its, passes: its.length === 0 || !areTuned };
  };
  const known = new Map<number, Route>();
  const routeOf = (track: number, played: number, kind: number): Route => {
    const channel = zones.managerOf(track, played);
    const question = toSlot(track, channel) * 0x1000 + kind;
    let route = known.get(question);
    if (route === undefined) {
      route = kind === NOTE_KIND ? toNoteRoute(track, channel) : toRoute(track, channel, kind);
      known.set(question, route);
    }
    return route;
  };
  return {
    parts,
    managerOf: zones.managerOf,
    fingerOf: zones.fingerOf,
    partOf: (track, channel) => routeOf(track, channel, NOTE_KIND).parts[0],
    listenersOf: (track, channel, status, data1) => routeOf(track, channel, toKind(status, data1)).parts,
    passesOn: (track, channel, status, data1) =>
      routeOf(track, channel, isNote(status) ? NOTE_KIND : toKind(status, data1)).passes,
  };
}

/** The kind of a key going down or up; kinds of other messages are below. */
const NOTE_KIND = 0xfff;

function isNote(status: number): boolean {
  return (status & 0xe0) === 0x80;
}

function toSlot(track: number, channel: number): number {
  return track * 16 + channel;
}

function toTrack(slot: number): number {
  return Math.floor(slot / 16);
}

/** What a message sets: its type, and for a controller its number. */
function toKind(status: number, data1: number): number {
  const type = status & 0xf0;
  return type === CONTROL_CHANGE ? type * 8 + data1 : type * 8;
}
