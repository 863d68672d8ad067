import { describe, expect, test } from 'vitest';
import { retune } from '../../../src/app/retune.js';
import { toTimeline } from '../../../src/core/score/index.js';
import { type BankListener, ChannelBank } from '../../../src/core/sound/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { musicalFile } from '../../support/musical-files.js';
import { forAll } from '../../support/properties.js';
import { SynthModel } from '../../support/synth-model.js';

/** Keeps what it is told, as words. */
class EventLine implements BankListener {
  readonly all: string[] = [];
  noteOn = (...is: number[]) => this.#add('on', is);
  noteOff = (...is: number[]) => this.#add('off', is);
  pitch = (...is: number[]) => this.#add('pitch', is);
  controller = (...is: number[]) => this.#add('controller', is);
  other = (...is: number[]) => this.#add('other', is);
  allNotesOff = (...is: number[]) => this.#add('notes off', is);
  allSoundOff = (...is: number[]) => this.#add('sound off', is);
  #add(what: string, is: number[]): void {
    this.all.push(`${what} ${is.join(' ')}`);
  }
}

function open(...messages: number[][]) {
  const told = new EventLine();
  const bank = new ChannelBank(told);
  for (const message of messages) send(bank, message);
  return { bank, told, send: (...bytes: number[]) => send(bank, bytes) };
}

function send(bank: ChannelBank, bytes: readonly number[]): void {
  if (bytes[0] === 0xf0) bank.system(Uint8Array.from(bytes));
  else bank.channel(bytes[0], bytes[1], bytes[2] ?? 0);
}

const rpn = (channel: number, parameter: number, msb: number, lsb?: number): number[][] => [
  [0xb0 | channel, 101, parameter >> 7],
  [0xb0 | channel, 100, parameter & 127],
  [0xb0 | channel, 6, msb],
  ...(lsb === undefined ? [] : [[0xb0 | channel, 38, lsb]]),
];

describe('the pitches of a channel bank', () => {
  test('are 12 equal by default', () => {
    const { bank } = open();
    expect(bank.centsOf(3, 60)).toBe(6000);
  });

  test('are bent by the range of their channel: 2 semitones, or what RPN 0 sets, cents included', () => {
    const { bank, send: then } = open([0xe0, 0, 96]);
    expect(bank.centsOf(0, 60)).toBe(6100);
    for (const message of rpn(0, 0, 12, 50)) then(...message);
    expect(bank.centsOf(0, 60)).toBe(6625);
    expect(bank.centsOf(1, 60)).toBe(6000);
  });

  test('follow fine tuning (RPN 1) to the last bit, and coarse tuning (RPN 2)', () => {
    const { bank } = open(...rpn(0, 1, 0x40, 1), ...rpn(0, 2, 63));
    expect(bank.centsOf(0, 60)).toBeCloseTo(5900 + 100 / 8192, 12);
  });

  test('do not change by data entry for another parameter, or for none', () => {
    const { bank } = open(
      ...rpn(0, 0x3fff, 24),
      [0xb0, 101, 0],
      [0xb0, 100, 0],
      [0xb0, 99, 1],
      [0xb0, 98, 8],
      [0xb0, 6, 24],
      [0xe0, 0, 96],
    );
    expect(bank.centsOf(0, 60)).toBe(6100);
  });

  test('follow a single-note tuning change on channels of its program', () => {
    const { bank, send: then } = open([0xf0, 0x7f, 0x7f, 8, 2, 0, 2, 64, 63, 64, 0, 65, 127, 127, 127, 0xf7]);
    expect(bank.centsOf(0, 64)).toBe(6350);
    expect(bank.centsOf(0, 65)).toBe(6500);
    for (const message of rpn(0, 3, 5)) then(...message);
    expect(bank.centsOf(0, 64)).toBe(6400);
    // With a bank, in either kind (MIDI Tuning Updated Specification).
    then(0xf0, 0x7e, 0x7f, 8, 7, 0, 5, 1, 64, 62, 0, 0, 0xf7);
    expect(bank.centsOf(0, 64)).toBe(6200);
  });

  test('ignore other tuning messages, which are counted, and follow a cut one as far as it goes', () => {
    const { bank, send: then } = open();
    then(0xf0, 0x7e, 0x7f, 8, 8, 3, 127, 127, ...new Array(12).fill(64), 0xf7);
    then(0xf0, 0x7f, 0x7f, 8, 2, 0, 5, 64, 63, 0, 0, 0xf7);
    then(0xf0, 0x7f, 0x7f, 4, 1, 0, 100, 0xf7);
    expect(bank.unknownTunings).toBe(1);
    expect(bank.centsOf(0, 64)).toBe(6300);
  });
});

describe('the zones of a channel bank', () => {
  test("add a manager's bend to its members', whose range is 48; the newest zone wins", () => {
    const { bank, send: then } = open(...rpn(0, 6, 5), [0xe1, 0, 65], [0xe0, 0, 96]);
    expect(bank.centsOf(1, 60)).toBe(6000 + 4800 / 64 + 100);
    expect(bank.centsOf(6, 60)).toBe(6000);
    for (const message of rpn(15, 6, 12)) then(...message);
    expect(bank.centsOf(3, 60)).toBe(6000);
  });

  test("pass a manager's pedal, program and silence to the members; a range of one counts for all", () => {
    const { bank, told, send: then } = open(...rpn(0, 6, 2));
    told.all.length = 0;
    then(0xb0, 64, 127);
    then(0xc0, 19);
    then(0xb0, 120, 0);
    expect(told.all).toEqual([
      ...['controller 0 64 127', 'controller 1 64 127', 'controller 2 64 127'],
      ...['other 192 19 0', 'other 193 19 0', 'other 194 19 0'],
      ...['sound off 0', 'sound off 1', 'sound off 2'],
    ]);
    for (const message of rpn(2, 0, 24)) then(...message);
    then(0xe1, 0, 96);
    expect(bank.centsOf(1, 60)).toBe(7200);
  });

  test('leave channel 10 to percussion unless a zone has it', () => {
    const { bank, send: then } = open();
    expect(bank.isPercussion(9)).toBe(true);
    for (const message of rpn(0, 6, 15)) then(...message);
    expect(bank.isPercussion(9)).toBe(false);
    for (const message of rpn(0, 6, 0)) then(...message);
    expect(bank.isPercussion(9)).toBe(true);
  });
});

test('Reset All Controllers centres the bend and lifts the pedals; a reset of the receiver does more', () => {
  const { bank, told } = open([0xe0, 0, 96], ...rpn(0, 0, 12), [0xb0, 121, 0]);
  expect(bank.centsOf(0, 60)).toBe(6000);
  expect(told.all).toContain('controller 0 64 0');
  expect(told.all).toContain('controller 0 11 127');
  send(bank, [0xe0, 0, 96]);
  expect(bank.centsOf(0, 60)).toBe(6600);
  bank.reset();
  send(bank, [0xe0, 0, 96]);
  expect(bank.centsOf(0, 60)).toBe(6100);
});

test('a note-on with velocity 0 is a note-off', () => {
  const { told } = open([0x92, 60, 90], [0x92, 60, 0], [0x82, 61, 9]);
  expect(told.all).toEqual(['on 2 60 90', 'off 2 60 64', 'off 2 61 9']);
});

test.each(['mpe', 'multichannel', 'mts'] as const)(
  'a channel bank gives every sounding note that retune writes over %s the pitch of another receiver',
  (kind) => {
    // A zone's receiver may divide by 8191 where its sender multiplied by 8192 (MPE 1.1, Appendix C).
    const tolerance = kind === 'mpe' ? 0.06 : 1e-9;
    forAll([musicalFile], 60, (file) => {
      const { file: retuned } = retune(file, {
        settings: toSettings({}),
        outlet: { kind, bendRange: undefined },
        plan: 'live',
      });
      const { messages, receiverOf, receivers, system } = toTimeline(retuned);
      const models = Array.from({ length: receivers }, () => new SynthModel());
      const banks = models.map(() => new ChannelBank(new EventLine()));
      receiverOf.forEach((receiver, i) => {
        const bytes = system.get(i);
        if (bytes !== undefined) {
          models[receiver].system(bytes);
          banks[receiver].system(bytes);
        } else {
          const [status, data1, data2] = messages.subarray(3 * i, 3 * i + 3);
          models[receiver].channel(status, data1, data2);
          banks[receiver].channel(status, data1, data2);
        }
        for (const voice of models[receiver].voices)
          expect(
            Math.abs(banks[receiver].centsOf(voice.channel, voice.key) - models[receiver].centsOf(voice)),
          ).toBeLessThan(tolerance);
      });
    });
  },
);

describe('a channel bank ignores', () => {
  test('local control, and the fine half of coarse tuning, of a tuning program and of a zone', () => {
    const { bank, told } = open([0xb0, 122, 0]);
    expect(told.all).toEqual([]);
    for (const parameter of [2, 3, 6]) {
      for (const [controller, value] of [
        [101, 0],
        [100, parameter],
        [38, 5],
      ])
        send(bank, [0xb0, controller, value]);
    }
    expect(bank.centsOf(0, 60)).toBe(6000);
    send(bank, [0xe1, 0, 96]);
    // Channel 2 is no member of anything: its bend reaches 2 semitones.
    expect(bank.centsOf(1, 60)).toBe(6100);
  });

  test('a zone whose manager is neither the first nor the last channel', () => {
    const { bank } = open(...rpn(4, 6, 3), [0xe5, 0, 96]);
    expect(bank.centsOf(5, 60)).toBe(6100);
  });
});
