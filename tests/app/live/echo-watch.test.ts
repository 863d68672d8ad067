import { describe, expect, test } from 'vitest';
import { EchoWatch, type Heard } from '../../../src/app/live/echo-watch.js';
import { Incoming, SentMemory } from '../../../src/app/live/sent-memory.js';

const ON: Message = [0x90, 60, 80];
const SYSEX = Uint8Array.of(0xf0, 0x7d, 1, 0xf7);

type Message = readonly [status: number, data1: number, data2: number];

/** An input that plays two outlets, and what they send. */
function createWatch() {
  const incoming = new Incoming();
  const time = { nowMs: 1000 };
  const [first, second] = [0, 1].map(() => new SentMemory(incoming, () => time.nowMs));
  const watch = new EchoWatch([first, second], incoming);
  return { incoming, time, first, second, watch };
}

/** A message that is sent, comes back so much later, and is sent again because of it. @returns what each return is heard as */
function goRound(lateMs: number, times: number, message: Uint8Array = Uint8Array.from(ON)): Heard[] {
  const { time, second, watch } = createWatch();
  const isChannel = message[0] < 0xf0;
  const [status, data1, data2] = message;
  return Array.from({ length: times }, () => {
    if (isChannel) second.channel(status, data1, data2);
    else second.system(message);
    time.nowMs += lateMs;
    return isChannel ? watch.channel(time.nowMs, status, data1, data2) : watch.system(time.nowMs, message);
  });
}

describe('a round', () => {
  test.each([0, 5, 20, 25])('of %i ms, twelve times in a row, is a loop', (lateMs) => {
    expect(goRound(lateMs, 12)).toEqual([...Array(11).fill('new'), 'loop']);
  });

  test('of more than 25 ms is none', () => {
    expect(goRound(25.5, 500)).not.toContain('loop');
  });

  test('is broken by the same note played anew', () => {
    const { time, first, watch } = createWatch();
    for (let step = 0; step < 20; step++) {
      for (let round = 0; round < 8; round++) {
        expect(watch.channel(time.nowMs, ...ON)).toBe('new');
        first.channel(...ON);
        time.nowMs += 12;
      }
      watch.end();
      time.nowMs += 30;
    }
  });

  test('counts only what was sent because of it', () => {
    const { time, first, watch } = createWatch();
    for (let n = 0; n < 500; n++) {
      first.channel(...ON);
      expect(watch.channel(time.nowMs, ...ON)).toBe('new');
      watch.end();
      time.nowMs += 10;
    }
  });

  test('is told by the outlet whose message came back', () => {
    const { time, second, watch } = createWatch();
    for (let n = 0; n < 12; n++) {
      second.channel(...ON);
      watch.channel(time.nowMs, ...ON);
    }
    expect(watch.outlet).toBe(1);
  });

  test.each([
    ['a mode message', [0xb0, 123, 0], true],
    ['a pedal that comes up', [0xb0, 64, 0], true],
    ['a pedal that goes down', [0xb0, 64, 127], false],
    ['start', [0xfa], true],
    ['a tick of a clock', [0xf8], true],
    ['a controller', [0xb0, 1, 64], false],
    ['a bend', [0xe0, 0, 70], false],
    ['a note-off', [0x80, 60, 64], false],
    ['a note-on of velocity 0', [0x90, 60, 0], false],
    ['pressure', [0xd0, 50], false],
  ])('of %s is one: %o %s', (_, bytes, isOne) => {
    expect(goRound(3, 20, Uint8Array.from(bytes as number[])).includes('loop')).toBe(isOne);
  });

  test('of a clock is quicker than any clock', () => {
    expect(goRound(8, 1000, Uint8Array.of(0xf8))).not.toContain('loop');
  });

  test('of a SysEx that passes is one', () => {
    const { incoming, time, first, watch } = createWatch();
    const heard: Heard[] = [];
    for (let n = 0; n < 20; n++) {
      heard.push(watch.system(time.nowMs, SYSEX));
      first.system(SYSEX);
      expect(incoming.rounds).toBe(n);
      time.nowMs += 20;
      if (heard.includes('loop')) break;
    }
    expect(heard).toHaveLength(13);
  });
});

describe('a marked echo', () => {
  /** Sends a bend and a note on each channel, and hears them come in. */
  function bendAll(bend: number, hearsBend = true): Heard[] {
    const { time, first, watch } = createWatch();
    const heard: Heard[] = [];
    for (let channel = 0; channel < 16; channel++) {
      first.channel(0xe0 | channel, bend & 127, bend >> 7);
      first.channel(0x90 | channel, 60, 80);
      time.nowMs += 50;
      if (hearsBend) watch.channel(time.nowMs, 0xe0 | channel, bend & 127, bend >> 7);
      heard.push(watch.channel(time.nowMs, 0x90 | channel, 60, 80));
      watch.end();
    }
    return heard;
  }

  test('four times within a second is a loop, however long each was on its way', () => {
    expect(bendAll(7631).slice(0, 4)).toEqual(['new', 'new', 'new', 'loop']);
  });

  test('is none at the centre, nor where the bend did not come in', () => {
    expect(bendAll(8192)).not.toContain('loop');
    expect(bendAll(7631, false)).not.toContain('loop');
  });

  test('is none under a bend that the player chose', () => {
    const { time, first, watch } = createWatch();
    // A bend before each note, and back; all of it passes.
    for (let n = 0; n < 100; n++) {
      const messages: Message[] = [[0xe0, 0, 50], ON, [0xe0, 0, 60], [0xe0, 0, 64]];
      for (const message of messages) {
        expect(watch.channel(time.nowMs, ...message)).toBe('new');
        first.channel(...message);
        watch.end();
        time.nowMs += 30;
      }
    }
  });

  test('of a tuning that an outlet made is one, though it is passed on in between', () => {
    const { time, first, watch } = createWatch();
    const heard: Heard[] = [];
    first.system(SYSEX);
    for (let n = 0; n < 4; n++) {
      time.nowMs += 200;
      heard.push(watch.system(time.nowMs, SYSEX));
      first.system(SYSEX);
      watch.end();
    }
    expect(heard).toEqual(['new', 'new', 'new', 'loop']);
  });

  test('of a SysEx that somebody repeats is none', () => {
    const { time, first, watch } = createWatch();
    for (let n = 0; n < 100; n++) {
      expect(watch.system(time.nowMs, SYSEX)).toBe('new');
      first.system(SYSEX);
      watch.end();
      time.nowMs += 30;
    }
  });
});

describe('after everything was silenced', () => {
  test('what was sent before is late for a second', () => {
    const { time, first, watch } = createWatch();
    const messages: Message[] = [ON, [0xb0, 123, 0], [0x80, 60, 64], [0xe0, 0, 64]];
    for (const message of messages) first.channel(...message);
    first.system(SYSEX);
    watch.ignoreSent(time.nowMs);
    time.nowMs += 900;
    expect(watch.channel(time.nowMs, ...ON)).toBe('late');
    expect(watch.channel(time.nowMs, 0xb0, 123, 0)).toBe('late');
    expect(watch.channel(time.nowMs, 0x80, 60, 64)).toBe('late');
    expect(watch.channel(time.nowMs, 0xe0, 0, 64)).toBe('late');
    expect(watch.system(time.nowMs, SYSEX)).toBe('late');
    time.nowMs += 101;
    expect(watch.channel(time.nowMs, ...ON)).toBe('new');
  });

  test('a channel somebody plays on passes all at once, so that no note-off is lost', () => {
    const { time, first, watch } = createWatch();
    first.channel(0x80, 60, 64);
    first.channel(0x81, 60, 64);
    watch.ignoreSent(time.nowMs);
    expect(watch.channel(time.nowMs, 0x90, 60, 33)).toBe('new');
    expect(watch.channel(time.nowMs, 0x80, 60, 64)).toBe('new');
    expect(watch.channel(time.nowMs, 0x81, 60, 64)).toBe('late');
  });

  test('controllers and programs pass, and a wheel that moves; what was sent before stays late', () => {
    const { time, first, watch } = createWatch();
    const passing: Message[] = [
      [0xb0, 7, 100],
      [0xc0, 5, 0],
      [0xe0, 0, 70],
      [0xe0, 0, 64],
    ];
    for (const message of passing) first.channel(...message);
    first.channel(...ON);
    watch.ignoreSent(time.nowMs);
    for (const message of passing) expect(watch.channel(time.nowMs, ...message)).toBe('new');
    expect(watch.channel(time.nowMs, 0xe0, 0, 64)).toBe('late');
    expect(watch.channel(time.nowMs, ...ON)).toBe('late');
  });

  test('a SysEx that was passed on passes again', () => {
    const { time, first, watch } = createWatch();
    for (let n = 0; n < 3; n++) {
      expect(watch.system(time.nowMs, SYSEX)).toBe('new');
      first.system(SYSEX);
      watch.end();
      watch.ignoreSent(time.nowMs);
      time.nowMs += 50;
    }
  });

  test('a clock goes on', () => {
    const { time, first, watch } = createWatch();
    first.system(Uint8Array.of(0xf8));
    watch.ignoreSent(time.nowMs);
    expect(watch.system(time.nowMs + 10, Uint8Array.of(0xf8))).toBe('new');
  });

  test('marked echoes are counted anew', () => {
    const { time, first, watch } = createWatch();
    first.system(SYSEX);
    const hear = () => watch.system(time.nowMs, SYSEX);
    expect([hear(), hear(), hear(), hear()].at(-1)).toBe('loop');
    watch.ignoreSent(time.nowMs);
    time.nowMs += 10;
    first.system(Uint8Array.of(0xf0, 0x7d, 2, 0xf7));
    first.system(SYSEX);
    expect([hear(), hear(), hear(), hear()]).toEqual(['new', 'new', 'new', 'loop']);
  });
});
