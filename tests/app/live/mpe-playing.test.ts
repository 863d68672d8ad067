import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FINGERS, type Move, MpeKeys, move } from '../../support/mpe-keys.js';
import { forAll } from '../../support/properties.js';
import { Stage, stageSettings } from '../../support/stage.js';
import { SynthModel, type Voice } from '../../support/synth-model.js';

/** Few enough that each note has a channel, those under the pedal counted; over MIDI tuning, a key. */
const MOST_NOTES = { mpe: 12, multichannel: 12, mts: 4 };

interface Finger {
  bend: number;
  pressure: number;
  timbre: number;
}

const atRest = (): Finger => ({ bend: 8192, pressure: 0, timbre: 64 });

/** A note as the player knows it, and the voice it became. */
interface Played {
  readonly finger: number;
  readonly key: number;
  readonly voice: Voice;
  /** What its finger had done when the key came up; `undefined` while it is down. */
  kept: (Finger & { readonly bendCents: number }) | undefined;
}

/** Plays, keeps an account of its own of what each note should sound, and compares it with the receiver. */
class Player {
  readonly stage: Stage;
  readonly #keys: MpeKeys;
  readonly #kind: keyof typeof MOST_NOTES;
  #fingers = Array.from({ length: FINGERS + 1 }, atRest);
  #range = 48;
  readonly #model = new SynthModel();
  #heard = 0;
  #wheelCents = 0;
  #played = new Map<number, Played>();
  compared = 0;

  constructor(kind: keyof typeof MOST_NOTES, wire: 'fast' | 'din') {
    const settings = stageSettings();
    const bendRange = kind === 'multichannel' ? 24 : undefined;
    this.stage = new Stage({
      ...settings,
      outlets: [{ ...settings.outlets[0], kind, bendRange, wire }],
      fuse: 1e9,
    });
    this.stage.wait(600);
    this.#keys = new MpeKeys(this.stage.keys);
    this.#keys.configure(15);
    this.#kind = kind;
  }

  do({ what, finger, key, value }: Move): void {
    const { stage } = this;
    const its = this.#fingers[finger];
    const downNow = [...this.#played.values()].filter(({ kept }) => kept === undefined);
    switch (what) {
      case 'on':
        if (stage.session.line.tuner.notes.length >= MOST_NOTES[this.#kind]) return;
        if (downNow.some((note) => note.finger === finger && note.key === key)) return;
        this.#keys.on(finger, key, Math.max(1, value));
        break;
      case 'off': {
        const note = downNow[value % Math.max(1, downNow.length)];
        if (note === undefined) return;
        note.kept = { ...this.#fingers[note.finger], bendCents: this.#bendCents(note.finger) };
        this.#keys.off(note.finger, note.key);
        break;
      }
      case 'bend':
        its.bend = 8192 + 8 * (value - 64);
        this.#keys.bend(finger, its.bend);
        break;
      case 'press':
        its.pressure = value;
        this.#keys.press(finger, value);
        break;
      case 'slide':
        its.timbre = value;
        this.#keys.slide(finger, value);
        break;
      case 'wheel':
        this.#wheelCents = ((value * 128 - 8192) * 200) / 8192;
        stage.keys.feed(0xe0, 0, value);
        break;
      case 'pedal':
        this.#keys.control(64, value < 64 ? 0 : 127);
        break;
      case 'range':
        this.#range = 12 + (value % 37);
        this.#keys.range(finger, this.#range);
        break;
      case 'configure':
        this.#keys.configure(value % 2 === 0 ? 15 : FINGERS);
        this.#fingers = this.#fingers.map(atRest);
        this.#range = 48;
        break;
      case 'wait':
        stage.wait(value);
    }
    this.#listen(what === 'on' ? { finger, key } : undefined);
  }

  /** Lifts everything. */
  finish(): void {
    for (const { finger, key, kept } of this.#played.values())
      if (kept === undefined) this.#keys.off(finger, key);
    this.#keys.control(64, 0);
    this.stage.wait(500);
    const model = this.#hear();
    expect(model.voices).toEqual([]);
    expect(this.stage.session.line.tuner.notes).toEqual([]);
    expect(model.faults).toEqual([]);
    expect(model.noteOns).toBe(model.noteOffs);
    expect(this.stage.session.counters.faults).toBe(0);
    expect(this.stage.session.outlets[0].outlet.counters.sharedNotes).toBe(0);
    this.stage.session.stop();
  }

  /** The receiver, with everything it was sent. */
  #hear(): SynthModel {
    const { received } = this.stage.synth;
    for (; this.#heard < received.length; this.#heard++) {
      const { bytes } = received[this.#heard];
      if (bytes[0] < 0xf0) this.#model.channel(bytes[0], bytes[1], bytes[2] ?? 0);
      else this.#model.system(Uint8Array.from(bytes));
    }
    return this.#model;
  }

  #bendCents(finger: number): number {
    return ((this.#fingers[finger].bend - 8192) * 100 * this.#range) / 8192;
  }

  #listen(struck: { finger: number; key: number } | undefined): void {
    const { stage } = this;
    // On a slow cable, what moves waits for its turn.
    if (stage.session.outlets[0].config.wire === 'din') stage.wait(600);
    const model = this.#hear();
    const { notes } = stage.session.line.tuner;
    for (const id of this.#played.keys()) if (!notes.some((note) => note.id === id)) this.#played.delete(id);
    const newest = notes.at(-1);
    if (struck !== undefined && newest !== undefined) {
      expect(newest).toMatchObject({ ...struck, part: 0 });
      const voice = model.voices.reduce((a, b) => (b.serial > a.serial ? b : a));
      this.#played.set(newest.id, { ...struck, voice, kept: undefined });
    }
    expect(notes.filter(({ keyDown }) => keyDown)).toHaveLength(
      [...this.#played.values()].filter(({ kept }) => kept === undefined).length,
    );
    for (const note of notes) this.#compare(model, this.#played.get(note.id)!, note.reportedCents);
  }

  #compare(model: SynthModel, played: Played, tunedCents: number): void {
    const voice = model.voices.find(({ serial }) => serial === played.voice.serial)!;
    const { channel, key } = voice;
    const kept = played.kept ?? this.#fingers[played.finger];
    const bendCents = played.kept?.bendCents ?? this.#bendCents(played.finger);
    const wanted = tunedCents + bendCents + this.#wheelCents;
    // Half a bend step at 48 semitones, and receivers of a zone divide by 8191.
    if (Math.abs(model.centsOf(voice) - wanted) > 0.5) expect(model.centsOf(voice)).toBeCloseTo(wanted, 0);
    const { pressure, controllers } = model.channels[channel];
    const isOneChannel = this.#kind === 'mts';
    // The pressure of a key is nobody's once it is up.
    if (!isOneChannel || played.kept === undefined)
      expect(isOneChannel ? model.keyPressures[128 * channel + key] : pressure).toBe(kept.pressure);
    if (!isOneChannel) expect(controllers[74]).toBe(kept.timbre);
    this.compared++;
  }
}

describe.each([
  ['mpe', 'fast'],
  ['mpe', 'din'],
  ['multichannel', 'fast'],
  ['mts', 'fast'],
] as const)('property: over %s on a cable that is %s', (kind, wire) => {
  test('each note of an MPE keyboard has its own bend, pressure and CC 74, and nothing is left at the end', () => {
    let compared = 0;
    forAll([fc.array(move, { minLength: 60, maxLength: 150 })], 100, (moves) => {
      const player = new Player(kind, wire);
      for (const one of moves) player.do(one);
      player.finish();
      compared += player.compared;
    });
    expect(compared).toBeGreaterThan(500);
  });
});
