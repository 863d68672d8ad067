import { LiveOutlet } from '../app/live/live-outlet.js';
import type { OutletConfig } from '../app/live/live-settings.js';
import { playTones } from '../app/live/tones.js';
import { toLeewayError } from '../app/problem-error.js';
import type { Clock } from '../io/clock/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { lookUpPort, type OutputLink, type PortSystem } from '../io/ports/index.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatTone, formatToneGreeting } from './format/tone.js';
import { complain, say } from './say.js';
import { gatherLiveSettings, type RawOptions } from './settings/index.js';
import type { World } from './world.js';

/**
 * `leeway tone`: plays a pure third, a pure fifth and a unison through an outlet until it is stopped, so that a player
 * hears whether the synth bends correctly. Throws a LeewayError if MIDI or the port can't be used.
 */
export async function runTone(options: RawOptions, world: World): Promise<ExitCode> {
  const { settings: path } = options;
  const gathered = await gatherLiveSettings(typeof path === 'string' ? path : undefined, options);
  if (!gathered.ok) {
    complain(world, gathered.mistakes);
    return EXIT.mistake;
  }
  const { outlets } = gathered.settings;
  // Everything fits even a slow cable here: there are no glides.
  const config: OutletConfig = { ...outlets[0], wire: 'fast' };
  if (outlets.length > 1)
    say(world.stderr, [
      `leeway: note: of ${outlets.length} outlets the first is heard; --out names another.`,
    ]);
  const ports = await world.openPorts();
  try {
    const link = openLink(ports, config);
    const outlet = new LiveOutlet(config, () => 0);
    say(world.stdout, formatToneGreeting(config));
    const ending = new StopWait(world, () => outlet.drain(world.clock.now()));
    try {
      outlet.cable.connect(link);
      await playTones(outlet, {
        now: world.clock.now,
        wait: (ms) => ending.wait(ms, world.clock),
        isOver: () => ending.code !== undefined,
        before: (tone) => say(world.stdout, formatTone(tone, config)),
        check: () => check(outlet, link),
      });
    } finally {
      ending.forget();
    }
    if (ending.fault !== undefined) complain(world, [ending.fault]);
    return ending.code ?? EXIT.done;
  } finally {
    ports.close();
  }
}

function openLink(ports: PortSystem, { port, virtual }: OutletConfig): OutputLink {
  if (virtual) return ports.createOutput(port);
  const found = lookUpPort(port, ports.list().outputs);
  if (found.ok) return ports.openOutput(found.value);
  throw toLeewayError(found.problem, 'outlet');
}

/** Messages to a missing port are lost without an error; here nobody waits until it is back. */
function check({ sink, config }: LiveOutlet, link: OutputLink): void {
  if (sink.error !== undefined) throw sink.error;
  if (link.placeNow() !== undefined) return;
  throw new LeewayError({
    code: 'PORT_MISSING',
    message: `The MIDI output "${config.port}" is gone.`,
    advice: 'Plug it in again, and start again.',
  });
}

class StopWait {
  code: ExitCode | undefined;
  fault: unknown;
  readonly #listeners: readonly (() => void)[];
  #wakeUp: () => void = () => {};

  /** @param silence for an end that leaves no time to wait */
  constructor(world: World, silence: () => void) {
    const end = (code: ExitCode) => () => this.#end(code);
    this.#listeners = [
      world.on('SIGINT', end(EXIT.done)),
      world.on('SIGTERM', end(EXIT.done)),
      world.on('SIGHUP', end(EXIT.done)),
      world.on('fault', (cause) => {
        this.fault = cause;
        this.#end(EXIT.bug);
      }),
      world.on('exit', silence),
    ];
  }

  /** Returns after the time, or as soon as it should end. */
  wait(ms: number, clock: Clock): Promise<void> {
    if (this.code !== undefined) return Promise.resolve();
    return new Promise((resolve) => {
      const ticker = clock.every(ms, () => this.#wakeUp());
      this.#wakeUp = () => {
        ticker.stop();
        resolve();
      };
    });
  }

  forget(): void {
    for (const stop of this.#listeners) stop();
  }

  #end(code: ExitCode): void {
    this.code ??= code;
    this.#wakeUp();
  }
}
