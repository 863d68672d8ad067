import type { Frame, Tuning } from '../../core/protocol/index.js';
import { toVoice, type VoiceName } from '../../core/theory/index.js';
import { Instrument } from './instrument.js';
import { createOutput, type Output } from './output.js';

/** A little ahead, so that all changes of one frame are simultaneous. */
const AHEAD_SECONDS = 0.015;
/** A switch is some dozens of changes, and a busy computer takes its time over them: one that is late clicks. */
const SWITCH_AHEAD_SECONDS = 0.03;
/** A glide reaches its next point about when the next frame comes. */
const GLIDE_SECONDS = 0.04;

/** The state of the page's sound. `blocked`: it is turned on, and the browser holds it back. */
export type SoundState = 'off' | 'on' | 'blocked';

/**
 * Sounds the frames in the page. Silent until `turnOn`, which needs a click or a key: browsers allow sound only then.
 */
export class Listener {
  readonly #changed: () => void;
  #context: AudioContext | undefined;
  #output: Output | undefined;
  #instrument: Instrument | undefined;
  #frame: Frame | undefined;
  /** The tuning one hears, and the tuning of the last frame sounded. */
  #heard: Tuning = 'equal';
  #tuning: Tuning = 'equal';
  #isOn = false;
  #volume = 0.5;
  #voice: VoiceName = 'reed';
  /** Notes silenced by hand: they stay silent until they are struck again. */
  #muted = new Set<number>();

  /** @param changed called when the browser lets the sound go on or holds it back */
  constructor(changed: () => void = () => {}) {
    this.#changed = changed;
  }

  get state(): SoundState {
    if (!this.#isOn) return 'off';
    return this.#context?.state === 'running' ? 'on' : 'blocked';
  }
  get voice(): VoiceName {
    return this.#voice;
  }
  get volume(): number {
    return this.#volume;
  }

  /** Starts to sound, with the present frame; or stays `blocked` until the browser allows it. */
  async turnOn(): Promise<void> {
    if (this.#context === undefined) {
      const context = new AudioContext({ latencyHint: 'interactive' });
      context.addEventListener('statechange', () => {
        if (context.state === 'running') this.#sound();
        this.#changed();
      });
      this.#context = context;
      this.#output = createOutput(context);
      this.#output.volume.value = toGain(this.#volume);
      this.#instrument = new Instrument(context, this.#output.input, toVoice(this.#voice));
    }
    this.#isOn = true;
    this.#changed();
    await this.#context.resume();
    this.#sound();
  }

  async turnOff(): Promise<void> {
    this.#isOn = false;
    this.#silence();
    this.#changed();
    // Time for the notes to fade.
    await new Promise((done) => setTimeout(done, 120));
    if (!this.#isOn) await this.#context?.suspend();
  }

  /** 0 to 1, the position of the slider. */
  setVolume(volume: number): void {
    this.#volume = volume;
    if (this.#context === undefined) return;
    this.#output?.volume.setTargetAtTime(toGain(volume), this.#context.currentTime, 0.02);
  }

  /** Chooses the audible tuning; sounding notes crossfade. */
  setHeard(heard: Tuning): void {
    this.#heard = heard;
    this.#sound();
  }

  /** Chooses the voice; sounding notes start again with it. */
  setVoice(voice: VoiceName): void {
    this.#voice = voice;
    if (this.#instrument === undefined) return;
    this.#silence();
    this.#instrument.voice = toVoice(voice);
    this.#sound();
  }

  take(frame: Frame, heard: Tuning): void {
    this.#frame = frame;
    this.#heard = heard;
    this.#sound();
  }

  /** Another session, or none: its notes are unrelated to the sounding ones. */
  forget(): void {
    this.#frame = undefined;
    this.#muted.clear();
    this.#silence();
  }

  /** Silences everything in the page until it is struck again. */
  allNotesOff(): void {
    this.#muted = new Set(this.#frame?.notes.map((note) => note.id));
    this.#silence();
  }

  #silence(): void {
    if (this.#context !== undefined) this.#instrument?.silence(this.#context.currentTime);
  }

  #sound(): void {
    const [context, instrument, frame] = [this.#context, this.#instrument, this.#frame];
    // What is scheduled while the browser holds the sound back would come all at once.
    if (this.state !== 'on' || context === undefined || instrument === undefined || frame === undefined)
      return;
    const tuning = this.#heard;
    const switched = tuning !== this.#tuning;
    const at = context.currentTime + (switched ? SWITCH_AHEAD_SECONDS : AHEAD_SECONDS);
    this.#tuning = tuning;
    const notes = frame.notes.filter((note) => !this.#muted.has(note.id));
    const there = new Set(notes.map((note) => note.id));
    for (const id of instrument.ids) if (!there.has(id)) instrument.release(id, at);
    for (const { id, cents, velocity } of notes) {
      if (switched) instrument.crossfade(id, cents[tuning], at);
      else instrument.glide(id, cents[tuning], at, GLIDE_SECONDS);
      instrument.start({ id, cents: cents[tuning], velocity }, at);
    }
    for (const id of this.#muted) if (!frame.notes.some((note) => note.id === id)) this.#muted.delete(id);
  }
}

/** Loudness grows evenly along the slider: a square law. */
function toGain(volume: number): number {
  return volume ** 2;
}
