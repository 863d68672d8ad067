import type { FakeKeys } from '../support/fake-devices.js';
import type { FakeMachine } from '../support/fake-ports.js';
import type { Pace } from './pace.js';

/** Roots of chords, in keys from the tonic: rounds that drift by a comma, and some that don't. */
const ROUNDS = [
  [0, 9, 2, 7],
  [0, 5, 2, 7],
  [0, 7, 9, 4, 5, 0, 5, 7],
  [0, 4, 8],
];
const SHAPES = [
  [0, 4, 7, 12],
  [0, 3, 7, 12],
  [0, 4, 7, 10],
  [0, 7, 12, 16],
];
const LONGEST_WAIT_MS = 140;
/** Bytes of a long SysEx message. */
const LONG_SYSEX = 5000;

/** What a player may do, and in how many of a hundred cases. */
type Gesture = readonly [share: number, name: string, make: () => void];

/** What a player asks of the stage. */
export interface PlayerHooks {
  readonly random: (below: number) => number;
  /** EventLine how long each message takes to the last thing sent because of it. */
  readonly pace: Pace;
  /** When the last message arrived anywhere, in milliseconds. */
  readonly lastArrivalMs: () => number;
}

/**
 * Somebody at a keyboard who never tires: chords that go round with common tones held, melodies over them, both pedals,
 * the wheel, pressure, clusters, clock in between, running status, messages in two pieces, SysEx, and now and then a byte
 * that makes no sense. It may be unplugged at any time; the keys then down are up when it is back.
 */
export class Player {
  /** What was fed while somebody listened: messages, note-ons with a velocity, bytes that make no sense. */
  readonly counts = { messages: 0, noteOns: 0, strange: 0, plugged: 0 };
  readonly name: string;
  readonly #machine: FakeMachine;
  readonly #hooks: PlayerHooks;
  readonly #channel: number;
  #keys: FakeKeys;
  #down = new Set<number>();
  #round = ROUNDS[0];
  #turn = 0;
  #timer: NodeJS.Timeout | undefined;
  readonly #gestures: readonly Gesture[];
  #doing = '';

  constructor(machine: FakeMachine, name: string, channel: number, hooks: PlayerHooks) {
    this.#machine = machine;
    this.name = name;
    this.#channel = channel;
    this.#hooks = hooks;
    this.#keys = machine.plugKeys(name);
    this.#gestures = this.#toGestures();
  }

  play(): void {
    const next = (): void => {
      this.#gesture();
      this.#timer = setTimeout(next, 2 + this.#hooks.random(LONGEST_WAIT_MS));
    };
    next();
  }

  /** Takes the hands off the keys and the feet off the pedals. */
  rest(): void {
    this.pause();
    this.#doing = 'hands off';
    this.#lift([...this.#down]);
    for (const pedal of [64, 66]) this.#feed(0xb0 | this.#channel, pedal, 0);
    this.#feed(0xe0 | this.#channel, 0, 64);
  }

  /** Stops where it is, keys down. */
  pause(): void {
    clearTimeout(this.#timer);
  }

  unplug(): void {
    this.#keys.unplug();
    this.#down.clear();
  }

  replug(): void {
    this.#keys = this.#machine.plugKeys(this.name);
    this.counts.plugged++;
  }

  #gesture(): void {
    let choice = this.#hooks.random(100);
    for (const [share, name, make] of this.#gestures) {
      choice -= share;
      if (choice >= 0) continue;
      this.#doing = name;
      make();
      return;
    }
  }

  #toGestures(): Gesture[] {
    const { random } = this.#hooks;
    const channel = this.#channel;
    return [
      [25, 'a chord', () => this.#chord()],
      [40, 'melody', () => this.#melody()],
      [7, 'a pedal', () => this.#feed(0xb0 | channel, random(2) === 0 ? 64 : 66, random(2) * 127)],
      [8, 'the wheel', () => this.#wheel()],
      [5, 'pressure', () => this.#feed(0xd0 | channel, random(128))],
      [3, 'modulation', () => this.#feed(0xb0 | channel, 1, random(128))],
      [2, 'a program', () => this.#feed(0xc0 | channel, random(128))],
      [2, 'a cluster', () => this.#cluster()],
      [3, 'poly pressure', () => this.#polyPressure()],
      [2, 'clock', () => this.#feed(0xf8)],
      [1, 'running status', () => this.#inPieces()],
      [1, 'SysEx', () => this.#sysex()],
      [1, 'a strange byte', () => this.#strange()],
    ];
  }

  #wheel(): void {
    const { random } = this.#hooks;
    for (let i = 0; i < 8; i++) this.#feed(0xe0 | this.#channel, random(128), 48 + random(32));
  }

  #polyPressure(): void {
    for (const key of this.#down) this.#feed(0xa0 | this.#channel, key, this.#hooks.random(128));
  }

  /** The next chord of the round: what both have in common is held. */
  #chord(): void {
    const { random } = this.#hooks;
    if (this.#turn++ % 24 === 0) this.#round = ROUNDS[random(ROUNDS.length)];
    const root = 43 + this.#round[this.#turn % this.#round.length];
    const chord = SHAPES[random(SHAPES.length)].map((step) => root + step);
    this.#lift([...this.#down].filter((key) => !chord.includes(key)));
    this.#strike(chord.filter((key) => !this.#down.has(key)));
  }

  #melody(): void {
    const high = [...this.#down].filter((key) => key >= 76);
    this.#strike([76 + this.#hooks.random(20)].filter((key) => !this.#down.has(key)));
    this.#lift(high);
  }

  #cluster(): void {
    const low = 48 + this.#hooks.random(12);
    this.#strike(Array.from({ length: 10 }, (_, i) => low + i).filter((key) => !this.#down.has(key)));
  }

  /** Two notes under one status byte, cut in the middle of the second, with clock between. */
  #inPieces(): void {
    const keys = [60, 67].filter((key) => !this.#down.has(key));
    if (keys.length < 2) return;
    this.#feedBytes([0x90 | this.#channel, keys[0], 70, keys[1]], 1, 1);
    this.#feedBytes([0xf8], 1, 0);
    this.#feedBytes([70], 1, 1);
    for (const key of keys) this.#down.add(key);
  }

  #sysex(): void {
    const length = this.#hooks.random(10) === 0 ? LONG_SYSEX : 20;
    this.#feed(0xf0, 0x7d, ...Array.from({ length }, (_, i) => i & 0x7f), 0xf7);
  }

  /** A status byte that the standard leaves undefined. */
  #strange(): void {
    if (this.#keys.listeners > 0 && this.#keys.isPlugged) this.counts.strange++;
    this.#keys.feed(0xf4);
  }

  #strike(keys: readonly number[]): void {
    for (const key of keys) {
      this.#feed(0x90 | this.#channel, key, 30 + this.#hooks.random(90));
      this.#down.add(key);
    }
  }

  #lift(keys: readonly number[]): void {
    for (const key of keys) {
      this.#feed(0x80 | this.#channel, key, 64);
      this.#down.delete(key);
    }
  }

  #feed(...bytes: number[]): void {
    const isNoteOn = (bytes[0] & 0xf0) === 0x90;
    this.#feedBytes(bytes, 1, isNoteOn ? 1 : 0);
  }

  #feedBytes(bytes: readonly number[], messages: number, noteOns: number): void {
    if (this.#keys.listeners > 0 && this.#keys.isPlugged) {
      this.counts.messages += messages;
      this.counts.noteOns += noteOns;
    }
    const { pace, lastArrivalMs } = this.#hooks;
    const piece = Uint8Array.from(bytes);
    const fromMs = pace.begin();
    this.#keys.play(piece);
    pace.end(fromMs, lastArrivalMs(), this.#doing);
  }
}
