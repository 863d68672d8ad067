import type { MidiSink } from '../../core/midi/index.js';
import { isKeyMessage, type Line } from '../line.js';
import type { ForwardTime } from './forward-time.js';
import { Histogram } from './histogram.js';
import type { LiveGuard } from './live-guard.js';
import type { LiveInput } from './live-input.js';
import type { ActionRule, LiveSettings } from './live-settings.js';
import type { SessionEvent } from './session-event.js';

/** Told every whole message of an input as it came in, before anything is made of it. Keep it short, and copy bytes. */
export interface HeardListener {
  channel(atMs: number, port: string, status: number, data1: number, data2: number): void;
  system(atMs: number, port: string, bytes: Uint8Array): void;
}

/** What the path needs of its session. */
export interface PathEdges {
  readonly line: Line;
  readonly guard: LiveGuard;
  readonly time: ForwardTime;
  /** Milliseconds, as the world has them: what a message took is measured by it. */
  readonly clock: () => number;
  /** As they are now. */
  readonly settings: () => LiveSettings;
  readonly heard: HeardListener | undefined;
  /** A hand or a foot asks for something. */
  readonly act: (rule: ActionRule) => void;
  /** A message has been played; something may be due in time now. */
  readonly played: () => void;
  readonly tell: (event: SessionEvent) => void;
}

/**
 * The way of a message from the driver's callback to the line: past the fuse, to an action, or to be tuned or passed.
 * Everything on it is synchronous, and nothing thrown crosses it.
 */
export class LivePath {
  /** From the driver's callback to the last send, in microseconds. */
  readonly latency = new Histogram();
  readonly #edges: PathEdges;
  #isHearing = false;
  /** What came in while something was being sent. No longer than the fuse lets it be. */
  readonly #echoes: { readonly input: LiveInput; readonly bytes: Uint8Array }[] = [];

  constructor(edges: PathEdges) {
    this.#edges = edges;
  }

  /** From the driver's callback. Never throws. */
  hear(input: LiveInput, bytes: Uint8Array): void {
    if (this.#isHearing) {
      // Sent by us, back in before the send returned: not before this message is done.
      this.#echoes.push({ input, bytes });
      return;
    }
    this.#isHearing = true;
    try {
      this.#work(input, bytes);
      for (let echo = this.#echoes.shift(); echo !== undefined; echo = this.#echoes.shift()) {
        this.#work(echo.input, echo.bytes);
      }
    } finally {
      this.#isHearing = false;
    }
  }

  /** Where the messages of an input go once they are whole. */
  toSink(input: LiveInput): MidiSink {
    const { heard, settings, time } = this.#edges;
    const { port } = input.wish;
    return {
      channel: (status, data1, data2) => {
        heard?.channel(time.now(), port, status, data1, data2);
        this.#channel(input, status, data1, data2);
      },
      system: (bytes) => {
        heard?.system(time.now(), port, bytes);
        if (!this.#passes(input) || !settings().systemMessages) return;
        for (const outlet of input.outlets) outlet.system(bytes, time.latestMs);
      },
    };
  }

  /** An input whose fuse has opened is listened to again. */
  closeFuse(input: LiveInput): void {
    if (!input.fuse.isOpen) return;
    input.fuse.close();
    input.fusedMessages = 0;
    this.#edges.tell({ kind: 'fuse-closed', input: input.wish.port });
  }

  #work(input: LiveInput, bytes: Uint8Array): void {
    const { clock, guard, played } = this.#edges;
    const fromMs = clock();
    guard.run(() => input.feed(bytes));
    guard.settle();
    this.latency.add(Math.max(0, 1000 * (clock() - fromMs)));
    played();
  }

  #channel(input: LiveInput, status: number, data1: number, data2: number): void {
    if (!this.#passes(input)) return;
    const { line, time, act } = this.#edges;
    const asked = input.actions.ask(input.wish.port, status, data1, data2);
    if (asked.rule !== undefined) act(asked.rule);
    if (asked.taken) return;
    const channel = status & 0x0f;
    if (!input.isTuned(channel)) {
      input.pass(status, data1, data2);
      return;
    }
    const part = input.toPart(channel);
    const atMs = time.now();
    for (const outlet of input.outlets) outlet.makeReady();
    input.introduce(channel, atMs);
    if (isKeyMessage(status, data2)) line.key(atMs, part, status, data1, data2);
    else line.control(atMs, part, status, data1, data2);
  }

  /** Counts a message against the input's fuse. */
  #passes(input: LiveInput): boolean {
    const { guard, settings, time, tell } = this.#edges;
    input.messages++;
    if (input.fuse.take(time.now())) return true;
    if (input.fusedMessages++ === 0) {
      guard.drainAll('fuse');
      tell({ kind: 'fuse-open', input: input.wish.port, most: settings().fuse });
    }
    return false;
  }
}
