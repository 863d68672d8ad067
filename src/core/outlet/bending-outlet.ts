import {
  BEND_CENTRE,
  CC,
  CONTROL_CHANGE,
  type MidiSink,
  PITCH_BEND,
  POLY_PRESSURE,
  toLsb,
  toMsb,
} from '../midi/index.js';
import type { MemberSetup } from './allocator.js';
import { liftPedals } from './controller-channel.js';
import type { ControllerRouter } from './controller-router.js';
import { CHANGED, Fingers } from './fingers.js';
import { type ControllerChannel, type Member, NO_PART, type SentNote } from './member.js';
import { type BendOptions, createCounters, type Outlet } from './outlet.js';
import { sendBendRange } from './parameters.js';
import { VoiceTable } from './voice-table.js';

/** What differs between bending outlets. */
export interface BendingPlan extends MemberSetup {
  readonly kind: 'mpe' | 'multichannel';
  readonly sink: MidiSink;
  readonly options: BendOptions;
  readonly members: readonly Member[];
  /** The channels program, controllers and pedals go to: the members, or the manager of their zone. */
  readonly channels: readonly ControllerChannel[];
  readonly router: ControllerRouter;
  /** Sends what comes before the members' bend ranges when the receiver is set up. */
  readonly configure: () => void;
  /** Sends a note's own pressure, 0..127. */
  readonly press: (note: SentNote, pressure: number) => void;
}

/**
 * The outlet that gives each note a separate channel and bends it. The plans of `mpe.ts` and `multichannel.ts` say
 * where everything but notes and bends goes.
 */
export class BendingOutlet implements Outlet {
  readonly kind: 'mpe' | 'multichannel';
  readonly counters = createCounters();
  readonly #plan: BendingPlan;
  readonly #voices: VoiceTable;
  readonly #fingers = new Fingers();

  constructor(plan: BendingPlan) {
    this.kind = plan.kind;
    this.#plan = plan;
    this.#voices = new VoiceTable(plan.sink, plan.members, plan.options, plan, this.counters);
  }

  open(): void {
    this.#doubt();
    this.#setUp();
  }

  silenceAndOpen(): void {
    this.#doubt();
    this.#silence();
    this.#setUp();
  }

  start(
    atMs: number,
    id: number,
    part: number,
    key: number,
    velocity: number,
    cents: number,
    finger = 0,
  ): void {
    this.#plan.router.part(part);
    this.#voices.start(atMs, id, part, key, velocity, cents, this.#fingers.of(part, finger));
  }

  retune(_atMs: number, id: number, cents: number): void {
    this.#voices.retune(id, cents);
  }

  release(_atMs: number, id: number, velocity: number): void {
    this.#voices.release(id, velocity);
  }

  end(atMs: number, id: number): void {
    this.#voices.end(atMs, id);
  }

  control(_atMs: number, part: number, status: number, data1: number, data2: number, finger = 0): void {
    if (finger === 0) this.#controlPart(part, status, data1, data2);
    const changed = this.#fingers.control(part, finger, status, data1, data2);
    if ((changed & CHANGED.bend) !== 0) this.#voices.bendPart(part);
    if ((changed & ~CHANGED.bend) !== 0) this.#voices.express(part);
  }

  #controlPart(part: number, status: number, data1: number, data2: number): void {
    const { router, members, press } = this.#plan;
    const type = status & 0xf0;
    if (type === POLY_PRESSURE) {
      for (const { down } of members) {
        for (let note = down.firstOf(data1); note !== undefined; note = note.nextDown)
          if (note.part === part) press(note, data2);
      }
      return;
    }
    router.control(part, status, data1, data2);
    if (type === CONTROL_CHANGE && data1 === CC.resetControllers) {
      for (const { notes, down } of members) {
        for (let note = notes.first; note !== undefined; note = note.after)
          if (note.part === part && down.has(note)) press(note, 0);
      }
    }
    // The wheel, its range and a reset all change the player's bend.
    if (type === PITCH_BEND || type === CONTROL_CHANGE) {
      this.#voices.setInputBend(part, router.part(part).bendCents());
    }
  }

  system(bytes: Uint8Array): void {
    this.#plan.sink.system(bytes);
  }

  forget(): void {
    this.#plan.router.forget();
    this.#fingers.forget();
    this.#voices.forgetInputBends();
  }

  drain(_atMs: number): void {
    this.#voices.clear();
    this.#silence();
    for (const member of this.#plan.members) this.#voices.bendTo(member, BEND_CENTRE);
  }

  /** Ends all notes; whatever else the receiver has is unknown, except that the setup leaves no parameter chosen. */
  #doubt(): void {
    const { members, channels } = this.#plan;
    this.#voices.clear();
    for (const channel of channels) doubt(channel);
    for (const member of members) doubt(member);
  }

  #setUp(): void {
    const { sink, members, options, configure } = this.#plan;
    configure();
    for (const member of members) {
      sendBendRange(sink, member.channel, options.rangeSemitones);
      // Its known bend was another receiver's: send it in any case.
      sink.channel(PITCH_BEND | member.channel, toLsb(BEND_CENTRE), toMsb(BEND_CENTRE));
      member.bend = BEND_CENTRE;
    }
  }

  /** Lifts pedals and silences every channel, whatever sounds there. */
  #silence(): void {
    const { sink, members, channels } = this.#plan;
    for (const channel of channels) {
      liftPedals(sink, channel);
      silence(sink, channel.channel);
      // So that its next note is preceded by what its part has set: pedals may be down.
      channel.part = NO_PART;
    }
    for (const member of members) if (!channels.includes(member)) silence(sink, member.channel);
  }
}

/** All Notes Off, then All Sound Off for what still rings. MIDI 1.0 Detailed Specification 4.2.1, Channel Mode Messages. */
function silence(sink: MidiSink, channel: number): void {
  sink.channel(CONTROL_CHANGE | channel, CC.allNotesOff, 0);
  sink.channel(CONTROL_CHANGE | channel, CC.allSoundOff, 0);
}

function doubt(channel: ControllerChannel): void {
  channel.part = NO_PART;
  channel.state.doubt();
}
