import { NO_VELOCITY, type Pedal, type TunerEvent } from '../tuner/index.js';

/** A tuner event that fits a row: any but other settings. */
export type RowEvent = Exclude<TunerEvent, { kind: 'settings' }>;

const KINDS = [
  'time',
  'note-on',
  'note-off',
  'pedal',
  'keys-up',
  'silence',
  'home',
  'hold-drift',
  'restart',
] as const satisfies readonly RowEvent['kind'][];
const CODES = Object.fromEntries(KINDS.map((kind, code) => [kind, code])) as Record<RowEvent['kind'], number>;
const PEDAL_NAMES: readonly Pedal[] = ['sustain', 'sostenuto', 'hold2'];

/** Numbers in a row: which event, when in milliseconds, and three that depend on it. */
export const ROW_LENGTH = 5;

/**
 * Writes an event as numbers, for another thread. Hot path: allocates nothing.
 *
 * A row is five numbers: kind, time in milliseconds, part and finger, what the kind needs, and the pitch of a fixed note,
 * NaN for none. Not checked: `rows` has room for it.
 *
 * @param at where its row begins in `rows`
 * @example
 * const rows = new Float64Array(5);
 * encodeEvent({ kind: 'note-on', atMs: 20, part: 3, key: 60, velocity: 80, finger: 1 }, rows, 0);
 * rows  // [1, 20, 49, 7760, NaN]: 49 is 3 · 16 + 1, and 7760 is 60 · 128 + 80
 */
export function encodeEvent(event: RowEvent, rows: Float64Array, at: number): void {
  rows[at] = CODES[event.kind];
  rows[at + 1] = event.atMs;
  rows[at + 2] = 'part' in event ? FINGERS * event.part + toFinger(event) : 0;
  rows[at + 3] = toLast(event);
  rows[at + 4] = event.kind === 'note-on' ? (event.fixedCents ?? Number.NaN) : Number.NaN;
}

/** 15 fingers, and the part as a whole. */
const FINGERS = 16;

function toFinger(event: RowEvent): number {
  return 'finger' in event ? (event.finger ?? 0) : 0;
}

function toLast(event: RowEvent): number {
  switch (event.kind) {
    case 'note-on':
    case 'note-off':
      return (event.key << 7) | (event.velocity ?? NO_VELOCITY);
    case 'pedal':
      return 2 * PEDAL_NAMES.indexOf(event.pedal) + Number(event.down);
    case 'home':
      return Number(event.when === 'next');
    case 'hold-drift':
      return Number(event.on);
    default:
      return 0;
  }
}

/** The event of a row; `undefined` if its first number is no event's. @param at where its row begins in `rows` */
export function decodeEvent(rows: Float64Array, at: number): RowEvent | undefined {
  const kind = KINDS[rows[at]];
  const atMs = rows[at + 1];
  const part = Math.floor(rows[at + 2] / FINGERS);
  const finger = rows[at + 2] % FINGERS;
  const last = rows[at + 3];
  switch (kind) {
    case 'note-on': {
      const note = { kind, atMs, part, key: last >> 7, velocity: last & 0x7f, finger };
      return Number.isNaN(rows[at + 4]) ? note : { ...note, fixedCents: rows[at + 4] };
    }
    case 'note-off':
      return { kind, atMs, part, key: last >> 7, velocity: last & 0x7f, finger };
    case 'pedal':
      return { kind, atMs, part, pedal: PEDAL_NAMES[last >> 1], down: (last & 1) === 1 };
    case 'keys-up':
      return { kind, atMs, part, finger };
    case 'silence':
      return { kind, atMs, part };
    case 'home':
      return { kind, atMs, when: last === 1 ? 'next' : 'now' };
    case 'hold-drift':
      return { kind, atMs, on: last === 1 };
    case 'time':
    case 'restart':
      return { kind, atMs };
    default:
      return undefined;
  }
}
