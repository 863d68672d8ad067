import type { ComparisonSheet } from '../../core/protocol/index.js';
import { toHertz, toVoice } from '../../core/theory/index.js';
import { createOutput, type Output } from '../sound/output.js';

/** Notes are scheduled this long before they are due, checked every `LOOK_MS`. */
const AHEAD_MS = 1200;
const LOOK_MS = 250;
const FADE_SECONDS = 0.06;
const ATTACK_SECONDS = 0.03;
const RELEASE_SECONDS = 0.09;
/** Level of one voice: a full chord stays below the limiter. */
const VOICE_LEVEL = 0.12;

/**
 * Plays a piece in all its versions at once, one of them audible: a switch is a crossfade at the same musical moment.
 * Every note has its exact frequency, glides are straight lines in cents.
 */
export class StepPlayer {
  readonly #sheet: ComparisonSheet;
  readonly #tell: () => void;
  #context: AudioContext | undefined;
  #output: Output | undefined;
  #ways: GainNode[] = [];
  #wave: PeriodicWave | undefined;
  #sounding = new Set<OscillatorNode>();
  #next = 0;
  #fromMs = 0;
  #startedAt = 0;
  #timer: ReturnType<typeof setInterval> | undefined;
  #heard = 0;
  #volume = 0.15;

  /** @param tell called when it stops by itself */
  constructor(sheet: ComparisonSheet, tell: () => void) {
    this.#sheet = sheet;
    this.#tell = tell;
  }

  get isPlaying(): boolean {
    return this.#timer !== undefined;
  }

  /** The position in the piece, in milliseconds. */
  get atMs(): number {
    if (this.#context === undefined || !this.isPlaying) return this.#fromMs;
    const passed = (this.#context.currentTime - this.#startedAt) * 1000;
    return Math.min(this.#sheet.lengthMs, this.#fromMs + Math.max(0, passed));
  }

  get heard(): number {
    return this.#heard;
  }

  hear(version: number): void {
    this.#heard = version;
    this.#ways.forEach((way, i) => {
      const { currentTime } = this.#context as AudioContext;
      way.gain.cancelScheduledValues(currentTime);
      way.gain.setTargetAtTime(i === version ? 1 : 0, currentTime, FADE_SECONDS / 3);
    });
  }

  /** @param volume 0 to 1 */
  setVolume(volume: number): void {
    this.#volume = volume;
    this.#output?.volume.setTargetAtTime(toGain(volume), this.#context?.currentTime ?? 0, 0.02);
  }

  /** Plays on from the present position. Needs a click or a key: browsers allow sound only then. */
  async play(): Promise<void> {
    if (this.isPlaying) return;
    const context = this.#open();
    await context.resume();
    if (this.#fromMs >= this.#sheet.lengthMs) this.#fromMs = 0;
    this.#startedAt = context.currentTime + 0.05;
    this.#next = 0;
    this.#timer = setInterval(() => this.#look(), LOOK_MS);
    this.#look();
  }

  pause(): void {
    this.#fromMs = this.atMs;
    clearInterval(this.#timer);
    this.#timer = undefined;
    for (const oscillator of this.#sounding) oscillator.stop((this.#context?.currentTime ?? 0) + 0.03);
    this.#sounding.clear();
  }

  async seek(ms: number): Promise<void> {
    const wasPlaying = this.isPlaying;
    this.pause();
    this.#fromMs = Math.max(0, Math.min(this.#sheet.lengthMs, ms));
    if (wasPlaying) await this.play();
  }

  #open(): AudioContext {
    if (this.#context !== undefined) return this.#context;
    const context = new AudioContext();
    this.#context = context;
    const output = createOutput(context);
    output.volume.value = toGain(this.#volume);
    this.#output = output;
    const harmonics = toVoice('reed').harmonics(440);
    this.#wave = context.createPeriodicWave([0, ...harmonics.map(() => 0)], [0, ...harmonics]);
    this.#ways = this.#sheet.versions.map((_, i) => {
      const way = context.createGain();
      way.gain.value = i === this.#heard ? 1 : 0;
      way.connect(output.input);
      return way;
    });
    return context;
  }

  #look(): void {
    const { notes, lengthMs } = this.#sheet;
    const now = this.atMs;
    for (; this.#next < notes.length && notes[this.#next].onMs < now + AHEAD_MS; this.#next++) {
      const note = notes[this.#next];
      if (note.offMs <= this.#fromMs) continue;
      for (let version = 0; version < this.#ways.length; version++) this.#begin(note, version);
    }
    if (now < lengthMs) return;
    this.pause();
    this.#fromMs = 0;
    this.#tell();
  }

  #begin({ onMs, offMs, pitch }: ComparisonSheet['notes'][number], version: number): void {
    const context = this.#context as AudioContext;
    const toTime = (ms: number) => this.#startedAt + (ms - this.#fromMs) / 1000;
    const startMs = Math.max(onMs, this.#fromMs);
    const [start, end] = [Math.max(context.currentTime, toTime(startMs)), toTime(offMs)];
    const line = pitch[version];
    const oscillator = new OscillatorNode(context, { frequency: toHertz(line[1]) });
    oscillator.setPeriodicWave(this.#wave as PeriodicWave);
    oscillator.detune.setValueAtTime(centsAt(line, startMs - onMs) - line[1], start);
    for (let i = 0; i < line.length; i += 2) {
      const time = toTime(onMs + line[i]);
      if (time > start) oscillator.detune.linearRampToValueAtTime(line[i + 1] - line[1], time);
    }
    const envelope = context.createGain();
    envelope.gain.setValueAtTime(0, start);
    envelope.gain.linearRampToValueAtTime(VOICE_LEVEL, start + ATTACK_SECONDS);
    envelope.gain.setTargetAtTime(0, Math.max(end, start + ATTACK_SECONDS), RELEASE_SECONDS / 3);
    oscillator.connect(envelope).connect(this.#ways[version]);
    oscillator.start(start);
    oscillator.stop(Math.max(end, start + ATTACK_SECONDS) + 3 * RELEASE_SECONDS);
    this.#sounding.add(oscillator);
    oscillator.onended = () => {
      this.#sounding.delete(oscillator);
      envelope.disconnect();
    };
  }
}

/** The value of a line of points at a time. @example centsAt([0, 6000, 100, 6010], 50)  // 6005 */
export function centsAt(line: readonly number[], ms: number): number {
  for (let i = 2; i < line.length; i += 2) {
    if (line[i] < ms) continue;
    const span = line[i] - line[i - 2];
    const share = span === 0 ? 1 : (ms - line[i - 2]) / span;
    return line[i - 1] + share * (line[i + 1] - line[i - 1]);
  }
  return line[line.length - 1];
}

/** Loudness grows with the square of the slider, so that its lower half is useful. */
function toGain(volume: number): number {
  return volume * volume;
}
