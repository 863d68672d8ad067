import { describe, expect, test } from 'vitest';
import { createMember } from '../../../src/core/outlet/member.js';
import { createCounters } from '../../../src/core/outlet/outlet.js';
import { VoiceTable } from '../../../src/core/outlet/voice-table.js';
import { messages } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';
import { SynthModel } from '../../support/synth-model.js';

const isReady = (): boolean => true;
const prepare = (): void => {};

/** Channels 0, 1 … at a range of 2 semitones and a hold of 500 ms; `sent` runs something and returns what it sent. */
function setUp(channels: number) {
  const synth = new SynthModel();
  const members = Array.from({ length: channels }, (_, channel) => createMember(channel));
  const counters = createCounters();
  const book = new VoiceTable(
    synth,
    members,
    { rangeSemitones: 2, releaseHoldMs: 500 },
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
