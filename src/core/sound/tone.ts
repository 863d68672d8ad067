import { type Envelope, toHertz } from '../theory/index.js';
import { createMotion, MOTION, type Motion, sweep, sweepBoth } from './sweep.js';
import { countHarmonics, type Wave, type WaveShelf } from './wave.js';

/** How long a sounding note takes to reach another pitch: short enough to be exact, long enough not to buzz. */
const GLIDE_SECONDS = 0.004;
/** Approximate time of a change of loudness. */
const LEVEL_SECONDS = 0.005;
/** Most frames between two updates of the level. */
const STEP = 64;
/** A note this soft is over: 100 dB below its full level. */
const OVER = 1e-5;

/** Loudness and panning: factors of the left and the right side. */
export interface Level {
  left: number;
  right: number;
}

/** The constant inputs of a tone. */
export interface ToneMakings {
  readonly rate: number;
  readonly shelf: WaveShelf;
  readonly envelope: Envelope;
}

/**
 * One sounding note. Its phase is in cycles, in double precision, from its exact frequency; all its harmonics are exact
 * multiples, since they are one wave.
 */
export class Tone {
  readonly #makings: ToneMakings;
  readonly #region: number;
  /** Loudness by velocity. */
  readonly #strength: number;
  /** Loudness and pan of the channel; shared by its notes, read again as it sounds. */
  readonly #level: Level;
  readonly #motion: Motion = createMotion();
  #wave: Wave;
  /** The previous wave, while it is still audible. */
  #oldWave: Wave | undefined;
  /** Target of a glide, in cycles a frame, and the frames until then. */
  #wantedPace: number;
  #glideFrames = 0;
  #attackFrames: number;
  /** The envelope tends to this level, and this share of the difference remains each frame. */
  #rest: number;
  #keep: number;

  constructor(makings: ToneMakings, cents: number, strength: number, level: Level) {
    const { rate, shelf, envelope } = makings;
    const hertz = toHertz(cents);
    this.#makings = makings;
    this.#strength = strength;
    this.#level = level;
    this.#region = shelf.toRegion(hertz);
    this.#wave = shelf.toWave(this.#region, countHarmonics(hertz, rate));
    this.#wantedPace = hertz / rate;
    this.#attackFrames = Math.max(1, Math.round(envelope.attack * rate));
    this.#rest = envelope.sustain;
    this.#keep = Math.exp(-1 / (envelope.decay * rate));
    this.#motion[MOTION.pace] = this.#wantedPace;
    this.#motion[MOTION.left] = strength * level.left;
    this.#motion[MOTION.right] = strength * level.right;
    this.#motion[MOTION.oldFall] = 1 / (GLIDE_SECONDS * rate);
  }

  get isOver(): boolean {
    return this.#attackFrames === 0 && this.#rest === 0 && this.#motion[MOTION.swell] < OVER;
  }

  /** Glides to another pitch. Not for a released tone: its channel may already have another note. */
  tune(cents: number): void {
    const { rate } = this.#makings;
    this.#wantedPace = toHertz(cents) / rate;
    this.#glideFrames = Math.round(GLIDE_SECONDS * rate);
  }

  /** Fades, from its present level. @param seconds the voice's own time, or another one */
  release(seconds: number = this.#makings.envelope.release): void {
    this.#attackFrames = 0;
    this.#rest = 0;
    this.#keep = Math.exp(-3 / (seconds * this.#makings.rate));
  }

  /** Adds its sound to both sides, from one frame to before another. */
  add(left: Float64Array, right: Float64Array, from: number, to: number): void {
    for (let at = from; at < to && !this.isOver; ) {
      let end = Math.min(to, at + STEP);
      if (this.#glideFrames > 0) end = Math.min(end, at + this.#glideFrames);
      if (this.#attackFrames > 0) end = Math.min(end, at + this.#attackFrames);
      if (this.#glideFrames > 0 || this.#oldWave !== undefined) this.#changeWave();
      this.#step(left, right, at, end);
      at = end;
    }
  }

  /** A stretch in which pitch, swell and level each change evenly. */
  #step(left: Float64Array, right: Float64Array, from: number, to: number): void {
    const frames = to - from;
    const motion = this.#motion;
    this.#aim(frames);
    if (this.#oldWave === undefined) sweep(motion, this.#wave.points, left, right, from, to);
    else sweepBoth(motion, this.#wave.points, this.#oldWave.points, left, right, from, to);
    if (this.#attackFrames > 0) this.#attackFrames -= frames;
    if (this.#glideFrames > 0) {
      this.#glideFrames -= frames;
      if (this.#glideFrames === 0) motion[MOTION.pace] = this.#wantedPace;
    }
  }

  #aim(frames: number): void {
    const motion = this.#motion;
    const glide = this.#glideFrames;
    motion[MOTION.paceStep] = glide > 0 ? (this.#wantedPace - motion[MOTION.pace]) / glide : 0;
    // While it swells the level grows by equal steps; then it tends to its rest.
    const attack = this.#attackFrames;
    motion[MOTION.keep] = attack > 0 ? 1 : this.#keep;
    motion[MOTION.swellStep] =
      attack > 0 ? (1 - motion[MOTION.swell]) / attack : this.#rest * (1 - this.#keep);
    const [leftGap, rightGap] = [
      this.#strength * this.#level.left - motion[MOTION.left],
      this.#strength * this.#level.right - motion[MOTION.right],
    ];
    const isThere = leftGap === 0 && rightGap === 0;
    const near = isThere ? 0 : 1 - Math.exp(-frames / (LEVEL_SECONDS * this.#makings.rate));
    motion[MOTION.leftStep] = (leftGap * near) / frames;
    motion[MOTION.rightStep] = (rightGap * near) / frames;
  }

  /**
   * A bend may leave room for fewer harmonics below half the sampling rate, or for more: then one wave fades into
   * another.
   */
  #changeWave(): void {
    const motion = this.#motion;
    if (this.#oldWave !== undefined && motion[MOTION.oldShare] > 0) return;
    this.#oldWave = undefined;
    const { shelf, rate } = this.#makings;
    const most = countHarmonics(rate * Math.max(motion[MOTION.pace], this.#wantedPace), rate);
    const wave = shelf.toWave(this.#region, most);
    if (wave === this.#wave) return;
    this.#oldWave = this.#wave;
    motion[MOTION.oldShare] = 1;
    this.#wave = wave;
  }
}
