import { toChannel } from '../../src/app/live/input-parts.js';
import { ForwardTime, LiveGuard } from '../../src/app/live/live-guard.js';
import { LiveOutlet } from '../../src/app/live/live-outlet.js';
import { DEFAULT_OUTLET } from '../../src/app/live/live-settings.js';
import type { SessionEvent } from '../../src/app/live/session-event.js';
import { Line } from '../../src/core/line/index.js';
import { createTuner, DEFAULT_SETTINGS } from '../../src/core/tuner/index.js';
import { FakeSynth } from './fake-devices.js';
import { toModel } from './stage.js';
import type { SynthModel } from './synth-model.js';

/** A line to one outlet, which is connected to a synth, and the guard over them: what a session is made of, without ports. */
export class LiveParts {
  nowMs = 1000;
  readonly time = new ForwardTime(() => this.nowMs);
  readonly synth = new FakeSynth('Synth', () => this.nowMs, Number.POSITIVE_INFINITY);
  readonly outlet = new LiveOutlet(DEFAULT_OUTLET, toChannel);
  readonly line = new Line(createTuner(DEFAULT_SETTINGS), () => [this.outlet.outlet]);
  readonly told: SessionEvent[] = [];
  readonly givenUp: LiveOutlet[] = [];
  /** Called when a message has been worked off. */
  received: (() => void) | undefined;
  readonly guard = new LiveGuard({
    line: this.line,
    time: this.time,
    clock: () => this.nowMs,
    inputs: () => [],
    outlets: () => [this.outlet],
    giveUp: (outlet) => {
      this.givenUp.push(outlet);
      outlet.cable.disconnect(this.nowMs);
    },
    received: () => this.received?.(),
    tell: (event) => this.told.push(event),
  });

  constructor() {
    this.outlet.cable.connect({
      send: (bytes) => this.synth.receive(bytes),
      close: () => {},
      placeNow: () => undefined,
    });
  }

  strike(...keys: number[]): void {
    for (const key of keys) this.line.message(this.nowMs, 0, 0x90, key, 80);
  }

  /** What the synth has come to. */
  model(): SynthModel {
    return toModel(this.synth.messages);
  }
}
