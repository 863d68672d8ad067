import { type Envelope, toHertz, type Voice } from '../../core/theory/index.js';

/** A note to be sounded. */
export interface SoundedNote {
  readonly id: number;
  /** On the scale of MIDI keys: 6900 is key 69, 440 Hz. */
  readonly cents: number;
  readonly velocity: number;
}

/** Crossfade from one tuning to another: simultaneous for all notes. */
export const CROSSFADE_SECONDS = 0.06;

/** Level of a single loud note. With the volume half up, a chord of four is some 30 decibels below full scale. */
const NOTE_LEVEL = 0.35;
/** Moves smaller than this, a thousandth of a cent, are skipped. */
const NO_MOVE_CENTS = 0.001;

/** One oscillator of a note, possibly gliding. */
interface Layer {
  readonly oscillator: OscillatorNode;
  readonly gain: GainNode;
  fromCents: number;
  toCents: number;
  fromTime: number;
  toTime: number;
  /** The end of its fade-in. */
  fullTime: number;
  /** Its cycles by `fromTime`. */
  cycles: number;
}

interface Sounding {
  readonly envelope: GainNode;
  /** Its envelope, its start, and its level. */
  readonly shape: Envelope;
  readonly level: number;
  readonly since: number;
  layer: Layer;
}

/**
 * Sounds notes at exact pitches. Works on a live context and on an offline one alike: every change is scheduled at a
 * time of the context, whenever it is called.
 *
 * Each note is one oscillator with a separate wave, so its harmonics are exact multiples and a chord in whole-number
 * ratios doesn't beat.
 */
export class Instrument {
  readonly #context: BaseAudioContext;
  readonly #output: AudioNode;
  readonly #sounding = new Map<number, Sounding>();
  readonly #waves = new Map<string, PeriodicWave>();
  voice: Voice;

  constructor(context: BaseAudioContext, output: AudioNode, voice: Voice) {
    this.#context = context;
    this.#output = output;
    this.voice = voice;
  }

  /** Ids of the sounding notes that have not been released. */
  get ids(): readonly number[] {
    return [...this.#sounding.keys()];
  }

  /** Starts a note. One with a sounding id is left as it is. */
  start({ id, cents, velocity }: SoundedNote, at: number): void {
    if (this.#sounding.has(id)) return;
    const shape = this.voice.envelope;
    const { attack, decay, sustain } = shape;
    const level = NOTE_LEVEL * (velocity / 127) ** 1.4;
    const envelope = this.#context.createGain();
    envelope.gain.setValueAtTime(0, at);
    envelope.gain.linearRampToValueAtTime(level, at + attack);
    envelope.gain.setTargetAtTime(level * sustain, at + attack, decay);
    envelope.connect(this.#output);
    this.#sounding.set(id, {
      envelope,
      shape,
      level,
      since: at,
      layer: this.#addLayer(envelope, cents, at, 1),
    });
  }

  /** Glides a note's pitch to `cents`, evenly in cents, within `seconds`. */
  glide(id: number, cents: number, at: number, seconds: number): void {
    const layer = this.#sounding.get(id)?.layer;
    if (layer === undefined || Math.abs(layer.toCents - cents) < NO_MOVE_CENTS) return;
    const now = toCentsAt(layer, at);
    const cycles = toCyclesAt(layer, at);
    const { frequency } = layer.oscillator;
    // Cancelling removes a running glide from its beginning: its part so far is scheduled again.
    frequency.cancelScheduledValues(at);
    if (at < layer.toTime) frequency.exponentialRampToValueAtTime(toHertz(now), at);
    else frequency.setValueAtTime(toHertz(now), at);
    frequency.exponentialRampToValueAtTime(toHertz(cents), at + seconds);
    Object.assign(layer, { fromCents: now, toCents: cents, fromTime: at, toTime: at + seconds, cycles });
  }

  /** Changes a note's pitch by a crossfade, without a glide between. */
  crossfade(id: number, cents: number, at: number): void {
    const note = this.#sounding.get(id);
    if (note === undefined || Math.abs(note.layer.toCents - cents) < NO_MOVE_CENTS) return;
    const { oscillator, gain } = note.layer;
    const end = at + CROSSFADE_SECONDS;
    const faded = Math.min(1, 1 - (note.layer.fullTime - at) / CROSSFADE_SECONDS);
    gain.gain.cancelScheduledValues(at);
    if (faded < 1) gain.gain.linearRampToValueAtTime(faded, at);
    else gain.gain.setValueAtTime(1, at);
    gain.gain.linearRampToValueAtTime(0, end);
    oscillator.stop(end);
    // The new wave starts at the old one's next cycle: in opposite phase, the two would cancel out half way.
    const cycles = toCyclesAt(note.layer, at);
    const next = at + (Math.ceil(cycles) - cycles) / toHertz(toCentsAt(note.layer, at));
    note.layer = this.#addLayer(note.envelope, cents, next, 0);
    note.layer.gain.gain.setValueAtTime(0, at);
    note.layer.gain.gain.linearRampToValueAtTime(1, end);
    note.layer.fullTime = end;
  }

  release(id: number, at: number, seconds = this.voice.envelope.release): void {
    const note = this.#sounding.get(id);
    if (note === undefined) return;
    this.#sounding.delete(id);
    const { envelope, layer } = note;
    envelope.gain.cancelScheduledValues(at);
    if (at < note.since + note.shape.attack) envelope.gain.linearRampToValueAtTime(toLevelAt(note, at), at);
    else envelope.gain.setValueAtTime(toLevelAt(note, at), at);
    envelope.gain.setTargetAtTime(0, at, seconds / 3);
    layer.oscillator.stop(at + 2.5 * seconds);
    layer.oscillator.addEventListener('ended', () => envelope.disconnect());
  }

  silence(at: number): void {
    for (const id of this.ids) this.release(id, at, 0.03);
  }

  #addLayer(envelope: GainNode, cents: number, at: number, level: number): Layer {
    const oscillator = this.#context.createOscillator();
    const gain = this.#context.createGain();
    const hertz = toHertz(cents);
    oscillator.setPeriodicWave(this.#waveFor(hertz));
    oscillator.frequency.setValueAtTime(hertz, at);
    gain.gain.setValueAtTime(level, at);
    oscillator.connect(gain).connect(envelope);
    oscillator.start(at);
    return {
      oscillator,
      gain,
      fromCents: cents,
      toCents: cents,
      fromTime: at,
      toTime: at,
      fullTime: at,
      cycles: 0,
    };
  }

  /** The voice's wave for a pitch: one for every three semitones, so that a retuned note hardly changes its timbre. */
  #waveFor(hertz: number): PeriodicWave {
    const region = Math.round(4 * Math.log2(hertz / 440));
    const name = `${this.voice.name} ${region}`;
    let wave = this.#waves.get(name);
    if (wave === undefined) {
      const harmonics = this.voice.harmonics(440 * 2 ** (region / 4));
      wave = this.#context.createPeriodicWave([0, ...harmonics.map(() => 0)], [0, ...harmonics]);
      this.#waves.set(name, wave);
    }
    return wave;
  }
}

function toCentsAt({ fromCents, toCents, fromTime, toTime }: Layer, at: number): number {
  if (at >= toTime) return toCents;
  const share = Math.max(0, (at - fromTime) / (toTime - fromTime));
  return fromCents + share * (toCents - fromCents);
}

/** Cycles by a time: the integral of the glide so far, and the steady rest. */
function toCyclesAt(layer: Layer, at: number): number {
  const { fromCents, toCents, fromTime, toTime, cycles } = layer;
  const [first, last] = [toHertz(fromCents), toHertz(toCents)];
  const glided = Math.min(at, toTime) - fromTime;
  const steady = Math.max(0, at - toTime);
  if (glided <= 0 || first === last) return cycles + first * Math.max(0, glided) + last * steady;
  const here = toHertz(toCentsAt(layer, Math.min(at, toTime)));
  return cycles + ((here - first) * (toTime - fromTime)) / Math.log(last / first) + last * steady;
}

/** The level of a note at a time, by its scheduled envelope. */
function toLevelAt({ shape, level, since }: Sounding, at: number): number {
  const { attack, decay, sustain } = shape;
  const swollen = at - since - attack;
  if (swollen < 0) return level * Math.max(0, 1 + swollen / attack);
  return level * (sustain + (1 - sustain) * Math.exp(-swollen / decay));
}
