import { LiveSession, LOOK_MS } from '../../src/app/live/live-session.js';
import {
  DEFAULT_INPUT,
  DEFAULT_LIVE_SETTINGS,
  DEFAULT_OUTLET,
  type LiveSettings,
} from '../../src/app/live/live-settings.js';
import type { SessionEdges } from '../../src/app/live/session-edges.js';
import type { SessionEvent } from '../../src/app/live/session-event.js';
import { type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import type { FakeKeys, FakeSynth } from './fake-devices.js';
import { FakeMachine, type FakePorts } from './fake-ports.js';
import { SynthModel } from './synth-model.js';

/** A keyboard and a synth by name, as a settings file would say it. */
export function stageSettings(
  changes: Partial<LiveSettings> = {},
  tuner: Partial<TunerSettings> = {},
): LiveSettings {
  return {
    ...DEFAULT_LIVE_SETTINGS,
    tuner: toSettings(tuner),
    inputs: [{ ...DEFAULT_INPUT, port: 'Keys', virtual: false }],
    outlets: [{ ...DEFAULT_OUTLET, port: 'Synth', virtual: false }],
    ...changes,
  };
}

/** A machine with a keyboard and a synth, a live session between them, and a clock that goes when it is told to. */
export class Stage {
  readonly machine = new FakeMachine(() => this.nowMs);
  readonly ports: FakePorts = this.machine.openPorts();
  keys: FakeKeys = this.machine.plugKeys('Keys');
  synth: FakeSynth;
  readonly session: LiveSession;
  readonly events: SessionEvent[] = [];
  nowMs = 1000;
  #nextLookMs = 1000 + LOOK_MS;
  #awake = false;

  /**
   * @param bytesPerSecond of the synth's cable
   * @param edges          what else the session tells, and whom
   */
  constructor(
    settings: LiveSettings = stageSettings(),
    bytesPerSecond?: number,
    edges: Partial<SessionEdges> = {},
  ) {
    this.synth = this.machine.plugSynth('Synth', bytesPerSecond);
    this.session = new LiveSession(settings, {
      ports: this.ports,
      now: () => this.nowMs,
      wake: () => {
        this.#awake = true;
      },
      ...edges,
      tell: (event) => {
        this.events.push(event);
        edges.tell?.(event);
      },
    });
    this.session.start();
  }

  /** Lets time pass, with the ticks and looks a session's owner gives it. */
  wait(ms: number): this {
    const untilMs = this.nowMs + ms;
    for (;;) {
      const { tickMs } = this.session;
      const nextTickMs = this.#awake ? Math.floor(this.nowMs / tickMs + 1) * tickMs : Infinity;
      const nextMs = Math.min(nextTickMs, this.#nextLookMs);
      if (nextMs > untilMs) break;
      this.nowMs = nextMs;
      if (nextMs === this.#nextLookMs) {
        this.session.look();
        this.#nextLookMs += LOOK_MS;
      }
      if (nextMs === nextTickMs) {
        this.session.tick();
        this.#awake = this.session.tickMs !== Infinity;
      }
    }
    this.nowMs = untilMs;
    return this;
  }

  strike(...keys: number[]): this {
    for (const key of keys) this.keys.feed(0x90, key, 80);
    return this;
  }

  lift(...keys: number[]): this {
    for (const key of keys) this.keys.feed(0x80, key, 64);
    return this;
  }

  /** Plays chords one after the other, each held so long. */
  play(chords: readonly (readonly number[])[], holdMs: number): this {
    for (const keys of chords) {
      this.strike(...keys);
      this.wait(holdMs).lift(...keys);
    }
    return this;
  }

  /** Kinds of what was told so far. */
  told(): string[] {
    return this.events.map(({ kind }) => kind);
  }

  /** What the synth has come to, by everything it received. */
  model(synth: FakeSynth = this.synth): SynthModel {
    return toModel(synth.messages);
  }
}

/** A receiver that was sent these messages. */
export function toModel(messages: readonly (readonly number[])[]): SynthModel {
  const model = new SynthModel();
  for (const message of messages) {
    const [status, data1, data2 = 0] = message;
    if (status < 0xf0) model.channel(status, data1, data2);
    else model.system(Uint8Array.from(message));
  }
  return model;
}
