import { type Line, toTunerEvents } from '../../core/line/index.js';
import {
  BEND_CENTRE,
  CC,
  CONTROL_CHANGE,
  HOLDING_PEDALS,
  PITCH_BEND,
  toLsb,
  toMsb,
} from '../../core/midi/index.js';
import { SharedPedals } from '../../core/outlet/index.js';
import type { Role } from '../../core/score/index.js';
import type { Cable } from './cable.js';
import { toPart } from './input-parts.js';
import { holdPlayers, isController, isHoldingPedal, type PedalValue } from './input-pedals.js';
import { restFingers, type ZonePlace } from './input-zones.js';
import type { LiveOutlet } from './live-outlet.js';
import { roleOf, type SplitConfig, toSplitKey } from './split-settings.js';
import { UntunedNotes } from './untuned-notes.js';
import { sendWheelRange } from './wheel-range.js';

/** Where the messages of a split go. */
export interface SplitRoute {
  /** The outlets that play its tuned notes; none for a guide, or a partner that can't be tuned. */
  readonly outlets: readonly LiveOutlet[];
  /** The cables its untuned messages pass to; usually those of the same outlets. */
  readonly untuned: readonly Cable[];
  /** The splits whose notes an outlet plays. */
  readonly playersOf: (outlet: LiveOutlet) => readonly InputSplit[];
  readonly outletsOn: (cable: Cable) => readonly LiveOutlet[];
}

/**
 * A range of an input's keys and channels, and what becomes of it: tuned, passed unchanged, or only heard. Holds all that
 * was played there.
 */
export class InputSplit {
  readonly config: SplitConfig;
  /** Index in the session's splits: parts are numbered 16 to a split. */
  readonly index: number;
  readonly outlets: readonly LiveOutlet[];
  readonly #route: SplitRoute;
  readonly #line: Line;
  /** How far the pitch wheel reaches, in semitones. */
  readonly #wheelRange: number;
  /** Channels with messages so far; of an MPE zone its manager. */
  readonly #heard = new Uint8Array(16);
  /** Those of them with fingers. */
  readonly #fingered = new Uint8Array(16);
  readonly #roles: readonly (Role | undefined)[];
  /**
   * By channel: its pedals, and those of untuned channels that reach the same receiver, which makes no difference between
   * them: notes are held for as long as any is down.
   */
  readonly #pedals = Array.from({ length: 16 }, () => new SharedPedals());
  /** What is held on untuned channels. */
  readonly #untunedNotes = new UntunedNotes();

  constructor(config: SplitConfig, index: number, wheelRange: number, route: SplitRoute, line: Line) {
    this.config = config;
    this.index = index;
    this.outlets = route.outlets;
    this.#route = route;
    this.#line = line;
    this.#wheelRange = wheelRange;
    this.#roles = Array.from({ length: 16 }, (_, channel) => roleOf(config, channel));
  }

  /**
   * Plays a message of the input, if it is in the split.
   *
   * @param home   the channel 0..15 whose part it is for: its own, or the manager of its MPE zone
   * @param finger of the zone, 1..15; 0: it is for the part as a whole
   */
  channel(atMs: number, status: number, played: number, data2: number, home: number, finger: number): void {
    const role = this.#roles[home];
    const data1 = toSplitKey(this.config, status, played, finger);
    if (role === undefined || data1 === undefined) return;
    if (role === 'untuned' || role === 'fixed') this.#passOn(atMs, status, data1, data2);
    if (role === 'untuned') return;
    const part = toPart(this.index, home);
    if (role === 'fixed') {
      this.#heard[home] = 1;
      this.#line.hearFixed(atMs, part, status, data1, data2, this.config.fixedCents, finger);
      return;
    }
    for (const outlet of this.outlets) outlet.makeReady();
    this.#introduce(home, atMs);
    if (finger > 0) {
      this.#fingered[home] = 1;
      this.#line.message(atMs, part, status, data1, data2, finger);
    } else if (isHoldingPedal(status, data1)) {
      this.#pedals[home].set(part, data1, data2);
      this.#sendPedal(atMs, home, data1);
    } else if (isController(status, data1, CC.resetControllers)) this.#reset(atMs, home, data2);
    else if (isController(status, data1, CC.allSoundOff)) this.#silence(atMs, home);
    else this.#line.message(atMs, part, status, data1, data2);
  }

  /** A pedal on an untuned channel, which reaches the receiver of this split: it holds the notes of both. */
  holdBy(atMs: number, pedal: PedalValue): boolean {
    const { part, controller, value, only } = pedal;
    // A channel without notes is given it before its first.
    for (const channel of only === undefined ? CHANNELS : [only])
      this.#pedals[channel].set(part, controller, value);
    const played = this.heardOn(only);
    for (const channel of played) this.#sendPedal(atMs, channel, controller);
    return played.length > 0;
  }

  /**
   * How far down the split holds a pedal at its receivers: 0..127.
   * @param only the only channel that counts; `undefined`: all
   */
  pedal(controller: number, only: number | undefined): number {
    const channels = this.heardOn(only);
    return Math.max(0, ...channels.map((channel) => this.#pedals[channel].get(controller)));
  }

  /** A pedal that the split shares moved: the tuner is told whether it holds the split's notes. */
  followPedal(atMs: number, controller: number, only: number | undefined): void {
    for (const channel of this.heardOn(only)) this.#tellTuner(atMs, channel, controller);
  }

  /** The channels it was played on; with `only`, that one at most. */
  heardOn(only: number | undefined): readonly number[] {
    return CHANNELS.filter(
      (channel) => this.#heard[channel] === 1 && (only === undefined || only === channel),
    );
  }

  /** The input is gone, perhaps with keys and pedals down: ends everything it holds. */
  release(atMs: number): void {
    this.#untunedNotes.release((status, data1, data2) => this.#passOn(atMs, status, data1, data2));
    for (let channel = 0; channel < 16; channel++) {
      if (this.#heard[channel] === 1) this.#releaseChannel(atMs, channel);
    }
  }

  /** A channel has left its MPE zone, or has come into one: its keys go up, as the standard advises. */
  leave(atMs: number, { channel, manager, finger }: ZonePlace): void {
    if (this.#heard[manager] === 0) return;
    if (finger === 0) this.#releaseChannel(atMs, channel);
    else this.#line.take({ kind: 'keys-up', atMs, part: toPart(this.index, manager), finger });
  }

  /** Sends the outlets the range of a channel's wheel, unless it is the usual one. */
  sendRange(atMs: number, channel: number): void {
    sendWheelRange(this.outlets, atMs, toPart(this.index, channel), this.#wheelRange);
  }

  /** Everything was silenced, and every pedal lifted. */
  forgetPedals(): void {
    for (const pedals of this.#pedals) pedals.clear();
  }

  #releaseChannel(atMs: number, channel: number): void {
    const [part, status] = [toPart(this.index, channel), CONTROL_CHANGE | channel];
    for (const controller of HOLDING_PEDALS) {
      this.#pedals[channel].set(part, controller, 0);
      this.#sendPedal(atMs, channel, controller);
      // Whoever else holds it down: what has ended must not ring on.
      this.#line.message(atMs, part, status, controller, 0);
    }
    this.#line.silence(atMs, part);
    this.#line.message(atMs, part, PITCH_BEND | channel, toLsb(BEND_CENTRE), toMsb(BEND_CENTRE));
    if (this.#fingered[channel] === 1) restFingers(this.#line, atMs, part);
    this.#fingered[channel] = 0;
    this.#heard[channel] = 0;
  }

  /** All controllers of a channel were reset: no pedal is down there. */
  #reset(atMs: number, channel: number, value: number): void {
    this.#pedals[channel].clear();
    const part = toPart(this.index, channel);
    this.#line.control(atMs, part, CONTROL_CHANGE | channel, CC.resetControllers, value);
    for (const controller of HOLDING_PEDALS) this.#tellAll(atMs, channel, controller);
  }

  #sendPedal(atMs: number, channel: number, controller: number): void {
    const [part, status] = [toPart(this.index, channel), CONTROL_CHANGE | channel];
    this.#line.control(atMs, part, status, controller, this.#pedals[channel].get(controller));
    this.#tellAll(atMs, channel, controller);
  }

  /** Tells the tuner whether a pedal holds the notes of a channel, and those of others that share it. */
  #tellAll(atMs: number, channel: number, controller: number): void {
    this.#tellTuner(atMs, channel, controller);
    for (const [player, only] of this.#companions(channel)) player.followPedal(atMs, controller, only);
  }

  #tellTuner(atMs: number, channel: number, controller: number): void {
    const [part, status] = [toPart(this.index, channel), CONTROL_CHANGE | channel];
    let value = this.#pedals[channel].get(controller);
    for (const [player, only] of this.#companions(channel))
      value = Math.max(value, player.pedal(controller, only));
    for (const event of toTunerEvents(atMs, part, status, controller, value)) this.#line.take(event);
  }

  /** Silences a channel. Where others share its pedals the outlet leaves what they hold, and so does the tuner. */
  #silence(atMs: number, channel: number): void {
    const [part, status] = [toPart(this.index, channel), CONTROL_CHANGE | channel];
    const isAlone = this.#companions(channel).every(
      ([player, only]) => player.heardOn(only).length === (player === this ? 1 : 0),
    );
    this.#line.message(atMs, part, status, isAlone ? CC.allSoundOff : CC.allNotesOff, 0);
  }

  /**
   * Those that share the pedals of a channel at some receiver, itself included, and on which channel they do: in an MPE
   * zone one pedal holds every note, and where tuning is by messages, every note of the channel.
   */
  #companions(channel: number): readonly (readonly [player: InputSplit, only: number | undefined])[] {
    return this.outlets.flatMap((outlet) => {
      const { kind } = outlet.config;
      if (kind === 'multichannel') return [];
      const only = kind === 'mts' ? channel : undefined;
      return this.#route.playersOf(outlet).map((player) => [player, only] as const);
    });
  }

  /** A message of an untuned channel goes out as it came; a pedal, where an outlet has tuned notes, for these too. */
  #passOn(atMs: number, status: number, data1: number, data2: number): void {
    const { untuned, outletsOn, playersOf } = this.#route;
    this.#untunedNotes.track(status, data1, data2);
    const pedal = { part: toPart(this.index, status & 0x0f), controller: data1, value: data2 };
    const isPedal = isHoldingPedal(status, data1);
    for (const cable of untuned) {
      let isHeld = false;
      if (isPedal)
        for (const outlet of outletsOn(cable))
          isHeld = holdPlayers(outlet, playersOf(outlet), atMs, pedal) || isHeld;
      if (!isHeld) cable.pass(status, data1, data2);
    }
  }

  /** Before a channel's first message, sends the outlets the range of its wheel. */
  #introduce(channel: number, atMs: number): void {
    if (this.#heard[channel] === 1) return;
    this.#heard[channel] = 1;
    for (const controller of HOLDING_PEDALS) {
      if (this.#pedals[channel].get(controller) > 0) this.#sendPedal(atMs, channel, controller);
      else this.#tellTuner(atMs, channel, controller);
    }
    this.sendRange(atMs, channel);
  }
}

const CHANNELS: readonly number[] = Object.freeze(Array.from({ length: 16 }, (_, i) => i));
