import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createMember } from '../../../src/core/outlet/member.js';
import { createCounters } from '../../../src/core/outlet/outlet.js';
import { VoiceTable } from '../../../src/core/outlet/voice-table.js';
import { messages } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';
import { forAll } from '../../support/properties.js';
import { SynthModel } from '../../support/synth-model.js';

const isReady = (): boolean => true;
const prepare = (): void => {};

/** Channels 0, 1 … at a hold of 500 ms; `sent` runs something and returns what it sent. */
function setUp(channels: number, rangeSemitones = 2) {
  const synth = new SynthModel();
  for (const channel of synth.channels) channel.rangeCents = 100 * rangeSemitones;
  const members = Array.from({ length: channels }, (_, channel) => createMember(channel));
  const counters = createCounters();
  const book = new VoiceTable(
    synth,
    members,
    { rangeSemitones, releaseHoldMs: 500 },
    { isReady, prepare },
    counters,
  );
  return { synth, book, counters, sent: (run: () => void) => synth.during(run) };
}

describe('a note on a separate channel', () => {
  test('is bent before its note-on, and only if the channel has another bend', () => {
    const { book, sent } = setUp(2);
    expect(sent(() => book.start(0, 1, 0, 60, 90, 6050))).toEqual(messages('0xe0 0x00 0x50, 0x90 60 90'));
    expect(sent(() => book.release(1, 33))).toEqual([[0x80, 60, 33]]);
    expect(sent(() => book.end(10, 1))).toEqual([]);
    expect(sent(() => book.start(11, 2, 0, 62, 91, 6250))).toEqual([[0x90, 62, 91]]);
  });

  test('is bent again only when the rounded value changes', () => {
    const { book, sent } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => book.retune(1, 6000.01))).toEqual([]);
    expect(sent(() => book.retune(1, 6000.02))).toEqual([[0xe0, 0x01, 0x40]]);
    expect(sent(() => book.retune(1, 6000.03))).toEqual([]);
  });

  test('has its note-off on its key and channel, however far it glides; the end of the range is counted once', () => {
    const { synth, book, counters, sent } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    book.retune(1, 6150);
    book.retune(1, 6300);
    book.retune(1, 6310);
    expect(synth.channels[0].bend).toBe(16383);
    expect(counters.clampedBends).toBe(1);
    book.retune(1, 6000);
    book.retune(1, 5700);
    expect([synth.channels[0].bend, counters.clampedBends]).toEqual([0, 2]);
    expect(sent(() => book.release(1, 64))).toEqual([[0x80, 60, 64]]);
  });

  test('follows the wheel of its part alone', () => {
    const { synth, book } = setUp(2);
    book.start(0, 1, 0, 60, 90, 6010);
    book.start(0, 2, 1, 62, 90, 6210);
    book.setInputBend(1, 50);
    expect(synth.voices.map((v) => Math.round(synth.centsOf(v)))).toEqual([6010, 6260]);
    book.end(1, 2);
    book.start(2, 3, 1, 64, 90, 6410);
    expect(Math.round(synth.voices.at(-1)!.startCents)).toBe(6460);
  });

  test('is folded to another key only beyond a semitone', () => {
    const { book, counters, sent } = setUp(2);
    expect(sent(() => book.start(0, 1, 0, 60, 90, 6110)).at(-1)).toEqual([0x90, 61, 90]);
    expect(sent(() => book.start(0, 2, 0, 64, 90, 6490)).at(-1)).toEqual([0x91, 64, 90]);
    expect(counters.foldedNotes).toBe(1);
    expect(sent(() => book.release(1, 64))).toEqual([[0x80, 61, 64]]);
  });

  test('is released when it ends unreleased, and ignored afterwards', () => {
    const { book, sent } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => book.end(1, 1))).toEqual([[0x80, 60, 64]]);
    expect(
      sent(() => {
        book.end(1, 1);
        book.release(1, 64);
        book.retune(1, 6100);
      }),
    ).toEqual([]);
  });

  test('gives way to a new note of the same name', () => {
    const { book, sent } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => book.start(1, 1, 0, 62, 90, 6200))).toEqual(messages('0x80 60 64, 0x90 62 90'));
  });
});

describe('a voice table short of channels', () => {
  test('counts a hurried note only if it bends a ringing tail', () => {
    const { book, counters } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    book.release(1, 64);
    book.end(10, 1);
    book.start(20, 2, 0, 62, 90, 6200);
    expect(counters.hurriedNotes).toBe(0);
    book.end(30, 2);
    book.start(529, 3, 0, 64, 90, 6410);
    expect(counters.hurriedNotes).toBe(1);
    book.end(600, 3);
    book.start(1100, 4, 0, 64, 90, 6420);
    expect(counters.hurriedNotes).toBe(1);
  });

  test('does not reuse the channel of a note that a pedal still holds', () => {
    const { synth, book, counters } = setUp(2);
    book.start(0, 1, 0, 60, 90, 6010);
    book.release(1, 64);
    book.start(1, 2, 0, 62, 90, 6220);
    book.end(2, 2);
    book.start(3, 3, 0, 64, 90, 6430);
    expect(synth.voices.at(-1)!.channel).toBe(1);
    expect([counters.sharedNotes, counters.peakChannels]).toEqual([0, 2]);
  });

  test('lets the last note own the bend of a shared channel, and gives it back', () => {
    const { synth, book, counters, sent } = setUp(2);
    book.start(0, 1, 0, 60, 90, 6000);
    book.start(0, 2, 0, 64, 90, 6386);
    // Nearest to -10 cents: channel 1, which stands at -14.
    expect(sent(() => book.start(0, 3, 0, 67, 90, 6690))).toEqual(messages('0xe1 0x66 0x3c, 0x91 67 90'));
    expect([counters.sharedNotes, counters.peakChannels]).toEqual([1, 2]);
    expect(sent(() => book.retune(2, 6380))).toEqual([]);
    expect(sent(() => book.retune(3, 6688)).length).toBe(1);
    expect(sent(() => book.release(3, 64))).toEqual([[0x81, 67, 64]]);
    book.end(1, 3);
    const remaining = synth.voices.find((v) => v.key === 64)!;
    expect(synth.centsOf(remaining)).toBeCloseTo(6380, 1);
  });

  test('leaves the bend when a note that does not own it ends', () => {
    const { book, sent } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    book.start(0, 2, 0, 64, 90, 6386);
    expect(sent(() => book.end(1, 1))).toEqual([[0x80, 60, 64]]);
    expect(sent(() => book.retune(2, 6400))).toEqual([[0xe0, 0x00, 0x40]]);
  });

  test('never has two notes of a key on one channel: the old one gets its only note-off first', () => {
    const { synth, book, sent } = setUp(1);
    book.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => book.start(1, 2, 0, 60, 80, 6010))).toEqual(
      numbers('0x80 60 64, 0xe0 0x1a 0x43, 0x90 60 80'),
    );
    expect(sent(() => book.release(1, 64))).toEqual([]);
    book.end(2, 1);
    expect(sent(() => book.release(2, 64))).toEqual([[0x80, 60, 64]]);
    book.end(3, 2);
    expect(synth.faults).toEqual([]);
    expect(synth.voices).toEqual([]);
  });
});

describe('a wheel that reaches beyond the bend range', () => {
  const sounding = ({ synth }: ReturnType<typeof setUp>) => synth.voices.map((voice) => synth.centsOf(voice));

  test('sounds a new note as near as the range allows, never an octave off, and back at its pitch with the wheel', () => {
    const setup = setUp(1);
    const { synth, book, counters } = setup;
    book.setInputBend(0, 1200);
    book.start(0, 1, 0, 60, 90, 6013);
    expect([synth.voices[0].key, counters.foldedNotes, counters.clampedBends]).toEqual([60, 0, 1]);
    expect(sounding(setup)[0]).toBeCloseTo(6199.976, 3);
    book.setInputBend(0, 0);
    expect(sounding(setup)[0]).toBeCloseTo(6013, 1);
  });

  test('keeps a held chord in tune at full wheel, where it stops early', () => {
    const setup = setUp(3);
    const { book, counters } = setup;
    [6000, 6386.314, 6701.955].forEach((cents, id) => {
      book.start(0, id, 0, [60, 64, 67][id], 90, cents);
    });
    book.setInputBend(0, 1200);
    const [root, third, fifth] = sounding(setup);
    expect(fifth).toBeCloseTo(6700 + 199.976, 2);
    expect(third - root).toBeCloseTo(386.314, 1);
    expect(fifth - root).toBeCloseTo(701.955, 1);
    expect(counters.clampedBends).toBe(3);
  });

  test('gives way for the whole chord to a note struck into it, and does not jump when that ends', () => {
    const setup = setUp(2);
    const { book } = setup;
    book.start(0, 1, 0, 60, 90, 5990);
    book.setInputBend(0, 200);
    book.start(1, 2, 0, 64, 90, 6430);
    expect(sounding(setup).map(Math.round)).toEqual([6160, 6600]);
    book.end(2, 2);
    expect(sounding(setup).map(Math.round)).toEqual([6160]);
    book.setInputBend(0, 199.9);
    expect(sounding(setup).map(Math.round)).toEqual([6190]);
  });

  test('gives way to a glide, and has its whole bend again for the next note after silence', () => {
    const setup = setUp(2);
    const { book } = setup;
    book.setInputBend(0, 190);
    book.start(0, 1, 0, 60, 90, 6000);
    book.start(0, 2, 0, 64, 90, 6400);
    book.retune(2, 6440);
    expect(sounding(setup).map(Math.round)).toEqual([6160, 6600]);
    book.end(1, 1);
    book.end(1, 2);
    book.start(2, 3, 0, 60, 90, 6000);
    expect(sounding(setup).map(Math.round)).toEqual([6190]);
  });

  test('never puts the chord of one part out of tune, nor anything of another', () => {
    const cents = fc.double({ min: -95, max: 95, noNaN: true });
    const chord = fc.array(cents, { minLength: 1, maxLength: 6 });
    const wheel = fc.double({ min: -1300, max: 1300, noNaN: true });
    forAll([chord, wheel, wheel, fc.integer({ min: 1, max: 14 })], (tunings, before, after, range) => {
      const setup = setUp(7, range);
      const { book } = setup;
      const step = (100 * range) / 8192;
      book.start(0, 99, 1, 40, 90, 4010);
      book.setInputBend(0, before);
      tunings.forEach((tuning, id) => {
        book.start(0, id, 0, 60 + id, 90, 6000 + 100 * id + tuning);
      });
      for (const now of [before, after, 0]) {
        book.setInputBend(0, now);
        const [other, ...bent] = sounding(setup);
        const wheels = bent.map((pitch, id) => pitch - 6000 - 100 * id - tunings[id]);
        expect(Math.max(...wheels) - Math.min(...wheels)).toBeLessThanOrEqual(step + 1e-6);
        expect(Math.abs(wheels[0])).toBeLessThanOrEqual(Math.abs(now) + step);
        expect(Math.abs(other - 4010)).toBeLessThanOrEqual(step / 2 + 1e-6);
      }
    });
  });
});
