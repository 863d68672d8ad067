import { CC } from '../midi/index.js';
import type { Voice } from '../theory/index.js';
import { type BankListener, ChannelBank } from './channel-bank.js';
import { type Level, Tone, type ToneMakings } from './tone.js';
import { WaveShelf } from './wave.js';

/** Turns the messages of one receiver into sound. */
export interface Player {
  channel(status: number, data1: number, data2: number): void;
  system(bytes: Uint8Array): void;
  /** Resets the receiver. @param message the system message that requests it */
  reset(message: Uint8Array): void;
  /** Releases every key and pedal: the music is over. */
  finish(): void;
  /** Adds what sounds to both sides, from one frame to before another. */
  add(left: Float64Array, right: Float64Array, from: number, to: number): void;
  /** Whether nothing sounds until another note. */
  readonly isSilent: boolean;
  /** Notes of percussion that were left out. */
  readonly percussion: number;
  /** Tuning changes of unknown kinds. */
  readonly unknownTunings: number;
}

/** Level of a single loud note, as on the page: eight of them stay below full scale. */
const NOTE_LEVEL = 0.14;
/** Loudness grows with this power of the velocity, as on the page. */
const VELOCITY_POWER = 1.4;
/** The soft pedal takes off 4 dB. */
const SOFT = 0.63;
/** All Sound Off, and a key struck again while its pedal holds it: a fade too short to hear, too long to click. */
const CUT_SECONDS = 0.01;
/** Controller values before anything was sent (General MIDI 2). */
const DEFAULT = { volume: 100, pan: 64, expression: 127 };

interface Note {
  readonly tone: Tone;
  readonly key: number;
  isDown: boolean;
  /** The sostenuto pedal caught it. */
  isCaught: boolean;
}

interface ChannelPlaying {
  readonly notes: Note[];
  readonly level: Level;
  volume: number;
  expression: number;
  pan: number;
  isSustained: boolean;
  isHeld: boolean;
  isSostenuto: boolean;
  isSoft: boolean;
}

/**
 * Plays the messages of one receiver with one of the voices, every note at its exact pitch.
 *
 * Understood: notes with their velocity, sustain, sostenuto, soft and hold pedals, volume, expression, pan, and all
 * that changes the pitch (see {@link ChannelBank}). Programs, modulation and pressure change nothing: all parts have
 * the same voice at a steady pitch. Percussion has no pitch and is left out, counted.
 *
 * The rate is in samples a second, above 0. Sound is added to the arrays; full scale is -1 to 1, and not clamped here.
 *
 * @example
 * const player = new Ensemble(toVoice('reed'), 48_000);
 * player.channel(0x90, 69, 100);
 * const left = new Float64Array(480);
 * player.add(left, new Float64Array(480), 0, 480);
 * left.some((sample) => sample !== 0)  // true
 */
export class Ensemble implements Player {
  readonly #bank: ChannelBank;
  readonly #makings: ToneMakings;
  readonly #channels: ChannelPlaying[] = Array.from({ length: 16 }, createChannel);
  /** All audible tones, tails included, with their channel. */
  #heard: { readonly tone: Tone; readonly channel: number }[] = [];
  percussion = 0;

  constructor(voice: Voice, rate: number) {
    this.#makings = { rate, shelf: new WaveShelf(voice), envelope: voice.envelope };
    this.#bank = new ChannelBank(this.#listen());
    for (const playing of this.#channels) setLevel(playing);
  }

  channel(status: number, data1: number, data2: number): void {
    this.#bank.channel(status, data1, data2);
  }

  system(bytes: Uint8Array): void {
    this.#bank.system(bytes);
  }

  reset(): void {
    this.#bank.reset();
    for (const playing of this.#channels) {
      Object.assign(playing, DEFAULT);
      setLevel(playing);
    }
  }

  finish(): void {
    for (const playing of this.#channels) {
      playing.isSustained = false;
      playing.isHeld = false;
      playing.isSostenuto = false;
      for (const note of playing.notes) note.isDown = false;
      fadeUnheld(playing);
    }
  }

  add(left: Float64Array, right: Float64Array, from: number, to: number): void {
    for (const { tone } of this.#heard) tone.add(left, right, from, to);
    if (this.#heard.some(({ tone }) => tone.isOver))
      this.#heard = this.#heard.filter(({ tone }) => !tone.isOver);
  }

  get isSilent(): boolean {
    return this.#heard.length === 0;
  }

  get unknownTunings(): number {
    return this.#bank.unknownTunings;
  }

  #listen(): BankListener {
    return {
      noteOn: (channel, key, velocity) => this.#noteOn(channel, key, velocity),
      noteOff: (channel, key) => {
        const playing = this.#channels[channel];
        const note = playing.notes.find((one) => one.isDown && one.key === key);
        if (note === undefined) return;
        note.isDown = false;
        fadeUnheld(playing);
      },
      pitch: (channel) => {
        for (const { tone, key } of this.#channels[channel].notes)
          tone.tune(this.#bank.centsOf(channel, key));
      },
      controller: (channel, controller, value) => setController(this.#channels[channel], controller, value),
      other: () => {},
      allNotesOff: (channel) => {
        const playing = this.#channels[channel];
        for (const note of playing.notes) note.isDown = false;
        fadeUnheld(playing);
      },
      allSoundOff: (channel) => {
        // Released tails, too.
        for (const one of this.#heard) if (one.channel === channel) one.tone.release(CUT_SECONDS);
        this.#channels[channel].notes.length = 0;
      },
    };
  }

  #noteOn(channel: number, key: number, velocity: number): void {
    if (this.#bank.isPercussion(channel)) {
      this.percussion++;
      return;
    }
    const playing = this.#channels[channel];
    // The same string again: without this a note repeated under a pedal would grow and grow.
    const before = playing.notes.findIndex((note) => note.key === key && !note.isDown);
    if (before >= 0) playing.notes.splice(before, 1)[0].tone.release(CUT_SECONDS * 5);
    const strength = NOTE_LEVEL * (velocity / 127) ** VELOCITY_POWER * (playing.isSoft ? SOFT : 1);
    const tone = new Tone(this.#makings, this.#bank.centsOf(channel, key), strength, playing.level);
    playing.notes.push({ tone, key, isDown: true, isCaught: false });
    this.#heard.push({ tone, channel });
  }
}

function createChannel(): ChannelPlaying {
  return {
    notes: [],
    level: { left: 0, right: 0 },
    ...DEFAULT,
    isSustained: false,
    isHeld: false,
    isSostenuto: false,
    isSoft: false,
  };
}

function setController(playing: ChannelPlaying, controller: number, value: number): void {
  const isDown = value >= 64;
  switch (controller) {
    case CC.volume:
      playing.volume = value;
      break;
    case CC.expression:
      playing.expression = value;
      break;
    case CC.pan:
      playing.pan = value;
      break;
    case CC.sustain:
      playing.isSustained = isDown;
      break;
    case CC.hold2:
      playing.isHeld = isDown;
      break;
    case CC.soft:
      playing.isSoft = isDown;
      break;
    case CC.sostenuto:
      if (isDown !== playing.isSostenuto)
        for (const note of playing.notes) note.isCaught = isDown && note.isDown;
      playing.isSostenuto = isDown;
      break;
    default:
      return;
  }
  setLevel(playing);
  fadeUnheld(playing);
}

/** Fades notes that neither a key nor a pedal holds. */
function fadeUnheld(playing: ChannelPlaying): void {
  const { notes, isSustained, isHeld } = playing;
  if (isSustained || isHeld) return;
  let count = 0;
  for (const note of notes) {
    if (note.isDown || note.isCaught) notes[count++] = note;
    else note.tone.release();
  }
  notes.length = count;
}

/**
 * Volume and expression by the square of their value, pan at constant power.
 * @see General MIDI Level 2, and RP-036, Default Pan Formula: 0 and 1 are hard left
 */
function setLevel({ level, volume, expression, pan }: ChannelPlaying): void {
  const loudness = ((volume / 127) * (expression / 127)) ** 2;
  const turn = ((Math.PI / 2) * Math.max(0, pan - 1)) / 126;
  level.left = loudness * Math.cos(turn);
  level.right = loudness * Math.sin(turn);
}
