import { expect } from 'vitest';
import type { Outlet } from '../../../src/core/outlet/index.js';
import { messages } from '../../support/midi-bytes.js';
import type { SynthModel, Voice } from '../../support/synth-model.js';
import type { Act } from './acts.js';
import { getOrMake, type Setting } from './setting.js';

interface Played {
  readonly id: number;
  readonly part: number;
  readonly key: number;
  readonly voice: Voice;
  cents: number;
  isDown: boolean;
  isCaught: boolean;
}

/** How an outlet is held to its promises. */
export interface Terms {
  /** The channels notes may use. */
  readonly channels: readonly number[];
  /** Parts share controllers, program and pedals. */
  readonly isOneInstrument: boolean;
  /** The player's wheel is part of the wanted pitch (else the receiver's own). */
  readonly addsWheel: boolean;
  /** Notes of one key are at one pitch, whatever their channels. */
  readonly isOneTable: boolean;
  /** How far a sounding note may be from the wanted pitch, in cents, given how far it is bent. */
  readonly tolerance: (bentCents: number) => number;
  /** Undefined where tails aren't kept. */
  readonly releaseHoldMs?: number;
}

/**
 * A player and a tuner in one: does what it is told on an outlet, keeps its own account of what should sound, and
 * compares with the model after every act.
 */
export class Player {
  readonly #outlet: Outlet;
  readonly #synth: SynthModel;
  readonly #terms: Terms;
  #notes: Played[] = [];
  readonly #settings = new Map<number, Setting>();
  /** Where the pedals of parts that are one instrument stand, by pedal and part. */
  readonly #feet = new Map<number, Map<number, number>>();
  /** When the last note on a channel ended; never for a channel that isn't here. */
  readonly #freedAtMs = new Map<number, number>();
  readonly #stale: number[] = [];
  #atMs = 0;
  #nextId = 1;
  #drift = 0;

  constructor(outlet: Outlet, synth: SynthModel, terms: Terms) {
    this.#outlet = outlet;
    this.#synth = synth;
    this.#terms = terms;
    outlet.open();
  }

  /** How many notes can be heard. */
  get sounding(): number {
    return this.#notes.length;
  }

  play(acts: readonly Act[]): void {
    for (const act of acts) {
      this.#atMs += 1;
      this.#do(act);
      this.#compare();
    }
  }

  /** Lets everything go: keys, then pedals. */
  finish(): void {
    for (const note of [...this.#notes]) if (note.isDown) this.#lift(note);
    for (const part of [...this.#settings.keys()]) {
      this.#control(part, [0xb0, 64, 0]);
      this.#control(part, [0xb0, 66, 0]);
    }
    this.#compare();
  }

  #do(act: Act): void {
    const note =
      'pick' in act && this.#notes.length > 0 ? this.#notes[act.pick % this.#notes.length] : undefined;
    switch (act.do) {
      case 'strike':
        this.#strike(act.part, act.key, 100 * act.key + this.#drift + act.cents);
        return;
      case 'lift':
        if (note?.isDown) this.#lift(note);
        return;
      case 'retune':
        if (note !== undefined) this.#retune(note, note.cents + act.cents);
        return;
      case 'glide':
        this.#drift += act.cents;
        for (const n of this.#notes) this.#retune(n, n.cents + act.cents);
        return;
      case 'control':
        this.#control(act.part, act.message);
        return;
      case 'bendRange':
        this.#enter(act.part, 0, act.semitones);
        this.#setting(act.part).rangeSemitones = act.semitones;
        return;
      case 'fineTuning':
        this.#enter(act.part, 1, act.msb);
        this.#common(act.part).fineCents = (100 * (128 * act.msb - 8192)) / 8192;
        return;
      case 'wait':
        this.#atMs += act.ms;
        return;
      case 'drain':
        this.#drain();
        return;
      case 'reopen':
        this.#drain();
        this.#synth.reset();
        this.#outlet.open();
    }
  }

  #strike(part: number, key: number, cents: number): void {
    this.#setting(part);
    const id = this.#nextId++;
    const bends = this.#terms.channels.map((c) => this.#synth.channels[c].bend);
    const free = this.#terms.channels.filter((c) => !this.#notes.some((n) => n.voice.channel === c));
    const logged = this.#synth.log.length;
    const hurried = this.#outlet.counters.hurriedNotes;
    this.#outlet.start(this.#atMs, id, part, key, 1 + (id % 127), cents);

    const voice = this.#synth.voices.at(-1)!;
    expect(voice.velocity).toBe(1 + (id % 127));
    expect(this.#synth.log.at(-1)![0]).toBe(0x90 | voice.channel);
    expect(this.#terms.channels).toContain(voice.channel);
    this.#notes.push({ id, part, key, voice, cents, isDown: true, isCaught: false });

    const { program } = this.#common(part);
    expect([voice.program, voice.bank, voice.bankLsb]).toEqual(program);
    // Bend, tuning and everything else went out before the note-on: it started where it stands now.
    expect(voice.startCents).toBe(this.#synth.centsOf(voice));
    this.#compareTails(free, bends, voice, logged, hurried);
  }

  /** The tail on a channel is bent only where no free channel has rung out, and then the longest released is taken. */
  #compareTails(free: number[], bends: number[], voice: Voice, logged: number, hurried: number): void {
    const { releaseHoldMs, channels } = this.#terms;
    if (releaseHoldMs === undefined || free.length === 0) return;
    expect(free).toContain(voice.channel);
    const bent = this.#synth.log.slice(logged).filter(([status]) => (status & 0xf0) === 0xe0);
    for (const [status] of bent) expect(status).toBe(0xe0 | voice.channel);
    expect(bent.length).toBe(
      bends[channels.indexOf(voice.channel)] === this.#synth.channels[voice.channel].bend ? 0 : 1,
    );

    const freedAt = (channel: number): number => this.#freedAtMs.get(channel) ?? Number.NEGATIVE_INFINITY;
    const isRinging = (channel: number): boolean => this.#atMs - freedAt(channel) < releaseHoldMs;
    if (bent.length > 0 && isRinging(voice.channel)) {
      expect(free.filter((channel) => !isRinging(channel))).toEqual([]);
      expect(freedAt(voice.channel)).toBe(Math.min(...free.map(freedAt)));
      expect(this.#outlet.counters.hurriedNotes).toBe(hurried + 1);
    }
  }

  #retune(note: Played, cents: number): void {
    note.cents = cents;
    this.#outlet.retune(this.#atMs, note.id, cents);
  }

  #lift(note: Played): void {
    note.isDown = false;
    this.#outlet.release(this.#atMs, note.id, note.id % 128);
    expect(this.#synth.voices.find((v) => v.serial === note.voice.serial)?.isDown ?? false).toBe(false);
    this.#endUnheld();
  }

  #endUnheld(): void {
    for (const note of [...this.#notes]) {
      const pedals = this.#common(note.part).controllers;
      const isHeld = (pedals.get(64) ?? 0) >= 64 || (note.isCaught && (pedals.get(66) ?? 0) >= 64);
      if (!note.isDown && !isHeld) this.#end(note);
    }
  }

  #end(note: Played): void {
    this.#notes = this.#notes.filter((n) => n !== note);
    this.#stale.push(note.id);
    const { channel } = note.voice;
    if (!this.#notes.some((n) => n.voice.channel === channel)) this.#freedAtMs.set(channel, this.#atMs);
    this.#outlet.end(this.#atMs, note.id);
  }

  #control(part: number, message: readonly [number, number, number]): void {
    const [status, data1, data2] = message;
    const setting = this.#setting(part);
    const common = this.#common(part);
    this.#outlet.control(this.#atMs, part, status | (part % 16), data1, data2);
    if (status === 0xc0)
      common.program = [data1, common.controllers.get(0) ?? 0, common.controllers.get(32) ?? 0];
    if (status === 0xd0) common.pressure = data1;
    if (status === 0xe0) setting.wheel = data1 + 128 * data2;
    if (status !== 0xb0) return;
    if (data1 === 121) {
      setting.wheel = 8192;
      common.pressure = 0;
      for (const controller of [1, 64, 66, 67])
        common.controllers.set(controller, this.#toCommon(part, controller, 0));
      common.controllers.set(33, 0);
      common.controllers.set(11, 127);
    } else {
      const wasDown = (common.controllers.get(data1) ?? 0) >= 64;
      const value = this.#toCommon(part, data1, data2);
      common.controllers.set(data1, value);
      if (data1 === 1) common.controllers.set(33, 0);
      if (data1 === 66 && wasDown !== value >= 64) {
        for (const n of this.#notes)
          if (this.#common(n.part) === common) n.isCaught = n.isDown && value >= 64;
      }
    }
    this.#endUnheld();
  }

  /** Of one instrument a pedal is down for as long as any of its parts holds it. */
  #toCommon(part: number, controller: number, value: number): number {
    if (!this.#terms.isOneInstrument || ![64, 66, 69].includes(controller)) return value;
    const feet = this.#feet.get(controller) ?? new Map<number, number>();
    this.#feet.set(controller, feet.set(part, value));
    return Math.max(...feet.values());
  }

  /** A registered parameter below 128, as a player's instrument sends it. */
  #enter(part: number, parameter: number, msb: number): void {
    this.#setting(part);
    const data = messages(`101 0, 100 ${parameter}, 6 ${msb}, 38 0, 101 127, 100 127`);
    for (const [controller, value] of data) this.#outlet.control(this.#atMs, part, 0xb0, controller, value);
  }

  #drain(): void {
    this.#outlet.drain(this.#atMs);
    expect(this.#synth.voices).toEqual([]);
    for (const channel of this.#terms.channels) {
      for (const pedal of [64, 66, 67]) expect(this.#synth.controllerOf(channel, pedal)).toBe(0);
      expect(this.#synth.channels[channel].bend).toBe(8192);
    }
    const logged = this.#synth.log.length;
    for (const { id } of this.#notes) {
      this.#outlet.retune(this.#atMs, id, 6000);
      this.#outlet.release(this.#atMs, id, 64);
      this.#outlet.end(this.#atMs, id);
    }
    for (const id of this.#stale) this.#outlet.end(this.#atMs, id);
    expect(this.#synth.log.length).toBe(logged);
    this.#notes = [];
    this.#freedAtMs.clear();
  }

  /** Everything the model sounds is what was asked for, as long as nothing had to be shared. */
  #compare(): void {
    if (this.#synth.faults.length > 0) expect(this.#synth.faults).toEqual([]);
    expect(this.#synth.noteOns - this.#synth.noteOffs).toBe(
      this.#notes.filter((n) => n.isDown).length - this.#cut(),
    );
    if (this.#outlet.counters.sharedNotes > 0) return;
    // Both lists are in the order of the note-ons.
    const sounding = this.#synth.voices.map((v) => v.serial).join();
    const wanted = this.#notes.map((n) => n.voice.serial).join();
    if (sounding !== wanted) expect(sounding).toBe(wanted);
    if (this.#outlet.counters.clampedBends > 0) return;
    for (const note of this.#notes) this.#compareNote(note);
  }

  /** Notes still held that had to give way to another note of their key on their channel. */
  #cut(): number {
    return this.#notes.filter(
      (n) => n.isDown && !this.#synth.voices.some((v) => v.serial === n.voice.serial && v.isDown),
    ).length;
  }

  #compareNote(note: Played): void {
    const { voice } = note;
    const common = this.#common(note.part);
    const { bend, rangeCents } = this.#synth.channels[voice.channel];
    const bent = ((bend - 8192) * rangeCents) / 8192;
    // A key of a tuning table follows the note that took it last.
    const isLater = (n: Played): boolean => n.voice.serial > voice.serial && n.voice.key === voice.key;
    if (this.#terms.isOneTable && this.#notes.some(isLater)) return;
    const { wheel, rangeSemitones } = this.#setting(note.part);
    const wheelCents = this.#terms.addsWheel ? ((wheel - 8192) * 100 * rangeSemitones) / 8192 : 0;
    const own = this.#terms.addsWheel
      ? 0
      : ((this.#synth.channels[voice.channel].bend - 8192) * rangeSemitones) / 81.92;
    const wanted = note.cents + wheelCents + own + common.fineCents;
    // `expect` is slow; it is asked only for its words.
    const error = Math.abs(this.#synth.centsOf(voice) - wanted);
    const tolerance = this.#terms.tolerance(bent);
    if (!(error <= tolerance)) expect(error).toBeLessThanOrEqual(tolerance);
    for (const [controller, value] of common.controllers) {
      const stands = this.#synth.controllerOf(voice.channel, controller);
      if (stands !== value) expect([controller, stands]).toEqual([controller, value]);
    }
  }

  #setting(part: number): Setting {
    return getOrMake(this.#settings, part);
  }

  /** The setting that acts on a part's notes: its own, or the instrument's. */
  #common(part: number): Setting {
    return getOrMake(this.#settings, this.#terms.isOneInstrument ? 0 : part);
  }
}
