import { LeewayError } from '../io/leeway-error.js';
import { EXIT } from './exit-codes.js';
import type { World } from './world.js';

/** Whether the program was asked to stop. A second request ends it at once. */
export class StopSignal {
  #asked = false;
  readonly #listeners: readonly (() => void)[];
  readonly #advice: string;

  /**
   * @param advice the next step once it has stopped
   */
  constructor(world: World, advice = 'What was under way was not written.') {
    this.#advice = advice;
    const ask = () => {
      this.#asked = true;
      this.forget();
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
        advice: this.#advice,
      },
      { exitCode: EXIT.stopped },
    );
  }

  forget(): void {
    for (const stop of this.#listeners) stop();
  }
}
