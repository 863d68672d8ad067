import type { MidiSink } from '../../src/core/midi/index.js';

/** A note the model sounds now. */
export interface Voice {
  /** Counts note-ons from 0, so that a voice can be told from another of the same key. */
  readonly serial: number;
  readonly channel: number;
  readonly key: number;
  readonly velocity: number;
  /** Program and bank the channel had at the note-on; a program change leaves sounding notes alone. */
  readonly program: number;
  readonly bank: number;
  readonly bankLsb: number;
  /** What it sounded at its note-on, in cents, 6900 is 440 Hz. */
  readonly startCents: number;
  /** The key hasn't been let go. */
  isDown: boolean;
  /** The sostenuto pedal caught it. */
  isCaught: boolean;
}

interface ChannelModel {
  bend: number;
  rangeCents: number;
  fineCents: number;
  coarseCents: number;
  controllers: number[];
  program: number;
  bank: number;
  bankLsb: number;
  pressure: number;
  tuningProgram: number;
  /** `rpn`, `nrpn` or nothing chosen. */
  parameterKind: 'none' | 'rpn' | 'nrpn';
  rpn: [number, number];
  nrpn: [number, number];
  /** Data entry to whatever isn't registered, by number: what the channel remembers. */
  nrpns: Map<number, [number, number]>;
}

interface Zone {
  manager: number;
  members: number[];
}

/**
 * A receiver with sixteen channels, as the standards describe one: MIDI 1.0 Detailed Specification 4.2.1 (notes,
 * bend, RPN 0 to 3, pedals, mode messages), RP-015 (reset), General MIDI 2 (defaults), MPE 1.1 (zones) and the MIDI
 * Tuning Updated Specification (single-note changes). It knows nothing of who is sending.
 *
 * What a well-behaved sender never does (two notes of a key on one channel, a note-off for nothing, a note on a manager,
 * poly pressure or program change on a member …) is written down in `faults`.
 */
export class SynthModel implements MidiSink {
  readonly faults: string[] = [];
  /** Every message as bytes, as sent; two-byte messages have two. */
  readonly log: number[][] = [];
  noteOns = 0;
  noteOffs = 0;
  voices: Voice[] = [];
  /** Poly pressure by channel and key: it stays on a key. */
  readonly keyPressures = new Uint8Array(16 * 128);
  readonly channels: ChannelModel[] = Array.from({ length: 16 }, createChannel);
  #zones: Zone[] = [];
  /** Tuning tables by program: cents by key. */
  readonly #tunings = new Map<number, number[]>();

  /** What it was sent while something ran. */
  during(run: () => void): number[][] {
    const before = this.log.length;
    run();
    return this.log.slice(before);
  }

  /** Another receiver in its place, as it comes from the factory; the log and the counts go on. */
  reset(): void {
    this.voices = [];
    this.channels.forEach((_, i) => {
      this.channels[i] = createChannel();
    });
    this.#zones = [];
    this.#tunings.clear();
    this.keyPressures.fill(0);
  }

  channel(status: number, data1: number, data2: number): void {
    const type = status & 0xf0;
    const channel = status & 0x0f;
    const short = type === 0xc0 || type === 0xd0;
    this.log.push(short ? [status, data1] : [status, data1, data2]);
    for (const byte of [data1, data2]) {
      if (!Number.isInteger(byte) || byte < 0 || byte > 127) this.#fault(`data byte ${byte}`);
    }
    if (type === 0x80 || (type === 0x90 && data2 === 0)) this.#noteOff(channel, data1);
    else if (type === 0x90) this.#noteOn(channel, data1, data2);
    else if (type === 0xa0) this.#polyPressure(channel, data1, data2);
    else if (type === 0xb0) this.#controller(channel, data1, data2);
    else if (type === 0xc0) this.#programChange(channel, data1);
    else if (type === 0xd0) this.channels[channel].pressure = data1;
    else if (type === 0xe0) this.channels[channel].bend = data1 + 128 * data2;
    else this.#fault(`status ${status}`);
  }

  system(bytes: Uint8Array): void {
    this.log.push([...bytes]);
    // Universal real time, MIDI tuning, single-note change: F0 7F dd 08 02 tt ll [kk xx yy zz] F7.
    if (bytes[0] !== 0xf0 || bytes[1] !== 0x7f || bytes[3] !== 8 || bytes[4] !== 2) return;
    if (bytes.length !== 8 + 4 * bytes[6]) this.#fault('length of a tuning change');
    for (let i = 1; i < bytes.length - 1; i++)
      if (bytes[i] > 0x7f) this.#fault('data byte in a tuning change');
    for (let i = 7; i + 4 < bytes.length; i += 4) {
      const [key, semitone, high, low] = bytes.slice(i, i + 4);
      if (semitone === 0x7f && high === 0x7f && low === 0x7f) continue;
      this.#tuning(bytes[5])[key] = 100 * semitone + ((128 * high + low) * 100) / 16384;
    }
  }

  /** What a voice sounds now, in cents, bends and tunings in. */
  centsOf(voice: Voice): number {
    return this.#pitch(voice.channel, voice.key);
  }

  /** A controller as it acts on a channel's notes: on a member, its manager's. */
  controllerOf(channel: number, controller: number): number {
    const zone = this.#zones.find((z) => z.members.includes(channel));
    return this.channels[zone?.manager ?? channel].controllers[controller];
  }

  #pitch(channel: number, key: number): number {
    const zone = this.#zones.find((z) => z.members.includes(channel));
    const own = this.channels[channel];
    const base = this.#tuning(own.tuningProgram)[key] + own.fineCents + own.coarseCents;
    // MPE 1.1, Appendix C: a receiver of a zone divides by 8191, and adds the manager's bend.
    if (zone === undefined) return base + ((own.bend - 8192) * own.rangeCents) / 8192;
    const manager = this.channels[zone.manager];
    return (
      base +
      manager.fineCents +
      manager.coarseCents +
      ((own.bend - 8192) * own.rangeCents) / 8191 +
      ((manager.bend - 8192) * manager.rangeCents) / 8191
    );
  }

  #tuning(program: number): number[] {
    let table = this.#tunings.get(program);
    if (table === undefined) {
      table = Array.from({ length: 128 }, (_, key) => 100 * key);
      this.#tunings.set(program, table);
    }
    return table;
  }

  #noteOn(channel: number, key: number, velocity: number): void {
    if (this.#zones.some((zone) => zone.manager === channel)) this.#fault('note on a manager channel');
    const twin = this.voices.find((v) => v.isDown && v.channel === channel && v.key === key);
    if (twin !== undefined) this.#fault(`second note of key ${key} on channel ${channel}`);
    const zone = this.#zones.find((z) => z.members.includes(channel));
    const { program, bank, bankLsb } = this.channels[zone?.manager ?? channel];
    this.voices.push({
      serial: this.noteOns++,
      channel,
      key,
      velocity,
      program,
      bank,
      bankLsb,
      startCents: this.#pitch(channel, key),
      isDown: true,
      isCaught: false,
    });
  }

  #noteOff(channel: number, key: number): void {
    this.noteOffs++;
    const voice = this.voices.find((v) => v.isDown && v.channel === channel && v.key === key);
    if (voice === undefined) this.#fault(`note-off for nothing, key ${key} on channel ${channel}`);
    else voice.isDown = false;
    this.#dropUnheld();
  }

  /** Notes that neither key nor pedal holds stop. */
  #dropUnheld(): void {
    this.voices = this.voices.filter((v) => {
      if (v.isDown) return true;
      const isDown = (pedal: number): boolean => this.controllerOf(v.channel, pedal) >= 64;
      return isDown(64) || isDown(69) || (v.isCaught && isDown(66));
    });
  }

  #polyPressure(channel: number, key: number, pressure: number): void {
    this.keyPressures[128 * channel + key] = pressure;
    if (this.#zones.some((z) => z.members.includes(channel)))
      this.#fault('poly pressure on a member channel');
    const voice = this.voices.find((v) => v.isDown && v.channel === channel && v.key === key);
    if (voice === undefined) this.#fault('poly pressure for nothing');
  }

  #programChange(channel: number, program: number): void {
    if (this.#zones.some((z) => z.members.includes(channel)))
      this.#fault('program change on a member channel');
    const state = this.channels[channel];
    state.program = program;
    state.bank = state.controllers[0];
    state.bankLsb = state.controllers[32];
  }

  #controller(channel: number, controller: number, value: number): void {
    const state = this.channels[channel];
    const reached = this.#zones.find((z) => z.manager === channel)?.members ?? [channel];
    if (controller === 98 || controller === 99) {
      state.nrpn[controller === 99 ? 0 : 1] = value;
      state.parameterKind = state.nrpn[0] === 127 && state.nrpn[1] === 127 ? 'none' : 'nrpn';
    } else if (controller === 100 || controller === 101) {
      state.rpn[controller === 101 ? 0 : 1] = value;
      state.parameterKind = state.rpn[0] === 127 && state.rpn[1] === 127 ? 'none' : 'rpn';
    } else if (controller === 6 || controller === 38) {
      this.#dataEntry(channel, controller, value);
    } else if (controller === 120) {
      this.voices = this.voices.filter((v) => !reached.includes(v.channel));
    } else if (controller === 121) {
      resetControllers(state);
      this.#dropUnheld();
    } else if (controller >= 123) {
      if (controller > 123) this.#fault(`mode message ${controller}`);
      for (const v of this.voices) if (reached.includes(v.channel)) v.isDown = false;
      this.#dropUnheld();
    } else if (controller < 120) {
      const wasDown = state.controllers[controller] >= 64;
      state.controllers[controller] = value;
      // An MSB sets its LSB to zero, bank select apart.
      if (controller > 0 && controller < 32) state.controllers[controller + 32] = 0;
      if (controller === 66 && wasDown !== value >= 64) {
        for (const v of this.voices) if (reached.includes(v.channel)) v.isCaught = value >= 64 && v.isDown;
      }
      this.#dropUnheld();
    }
  }

  #dataEntry(channel: number, controller: number, value: number): void {
    const state = this.channels[channel];
    const half = controller === 6 ? 0 : 1;
    if (state.parameterKind === 'none') return;
    if (state.parameterKind === 'nrpn') {
      const number = 128 * state.nrpn[0] + state.nrpn[1];
      const entry = state.nrpns.get(number) ?? [0, 0];
      entry[half] = value;
      state.nrpns.set(number, entry);
      return;
    }
    const number = 128 * state.rpn[0] + state.rpn[1];
    if (number === 0) {
      const zone = this.#zones.find((z) => z.members.includes(channel));
      for (const c of zone?.members ?? [channel]) {
        const { rangeCents } = this.channels[c];
        const semitones = half === 0 ? value : Math.trunc(rangeCents / 100);
        this.channels[c].rangeCents = 100 * semitones + (half === 1 ? value : rangeCents % 100);
      }
    } else if (number === 1) {
      const steps = Math.round((state.fineCents * 8192) / 100) + 8192;
      const entered = half === 0 ? 128 * value + (steps % 128) : Math.trunc(steps / 128) * 128 + value;
      state.fineCents = ((entered - 8192) * 100) / 8192;
    } else if (number === 2 && half === 0) state.coarseCents = 100 * (value - 64);
    else if (number === 3 && half === 0) state.tuningProgram = value;
    else if (number === 6 && half === 0) this.#configure(channel, value);
  }

  /** MPE Configuration Message: newest wins contested channels. */
  #configure(manager: number, count: number): void {
    if (manager !== 0 && manager !== 15) {
      this.#fault('configuration message on a member');
      return;
    }
    const step = manager === 0 ? 1 : -1;
    const members = Array.from({ length: count }, (_, i) => manager + step * (i + 1));
    this.#zones = this.#zones
      .filter((z) => z.manager !== manager && !members.includes(z.manager))
      .map((z) => ({
        manager: z.manager,
        members: z.members.filter((m) => !members.includes(m) && m !== manager),
      }))
      .filter((z) => z.members.length > 0);
    if (count > 0) this.#zones.push({ manager, members });
    this.voices = this.voices.filter((v) => v.channel !== manager && !members.includes(v.channel));
    for (const c of [manager, ...members]) {
      resetControllers(this.channels[c]);
      this.channels[c].rangeCents = c === manager ? 200 : 4800;
    }
  }

  #fault(text: string): void {
    this.faults.push(`${text} (message ${this.log.length - 1})`);
  }
}

function createChannel(): ChannelModel {
  return {
    bend: 8192,
    rangeCents: 200,
    fineCents: 0,
    coarseCents: 0,
    controllers: Array.from({ length: 128 }, (_, controller) => DEFAULTS[controller] ?? 0),
    program: 0,
    bank: 0,
    bankLsb: 0,
    pressure: 0,
    tuningProgram: 0,
    parameterKind: 'none',
    rpn: [127, 127],
    nrpn: [127, 127],
    nrpns: new Map(),
  };
}

/** General MIDI 2: what isn't 0 when nothing was sent. */
const DEFAULTS: Record<number, number> = {
  7: 100,
  8: 64,
  10: 64,
  11: 127,
  91: 40,
  ...Object.fromEntries(Array.from({ length: 10 }, (_, i) => [70 + i, 64])),
};

/** RP-015, Response to Reset All Controllers. */
function resetControllers(state: ChannelModel): void {
  state.bend = 8192;
  state.pressure = 0;
  state.parameterKind = 'none';
  state.rpn = [127, 127];
  state.nrpn = [127, 127];
  for (const controller of [1, 33, 43, 64, 65, 66, 67, 68, 69]) state.controllers[controller] = 0;
  state.controllers[11] = 127;
}
