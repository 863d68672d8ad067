import { LeewayError } from '../io/leeway-error.js';
import { EXIT } from './exit-codes.js';
import type { World } from './world.js';

/** Whether the program was asked to stop. */
export class Ending {
  #asked = false;
  readonly #listeners: readonly (() => void)[];

  constructor(world: World) {
    const ask = () => {
      this.#asked = true;
    };
    this.#listeners = [world.on('SIGINT', ask), world.on('SIGTERM', ask), world.on('SIGHUP', ask)];
  }

  /** Throws if it was. */
  check(): void {
    if (!this.#asked) return;
    throw new LeewayError(
      {
        code: 'STOPPED',
        message: 'Stopped before it was done.',
        advice: 'What was under way was not written.',
      },
      { exitCode: EXIT.stopped },
    );
  }

  forget(): void {
    for (const stop of this.#listeners) stop();
  }
}
