import { SingleBar } from 'cli-progress';
import type { World } from './world.js';

/** What shows how far the work is. */
export interface Progress {
  /** @param share 0 to 1 */
  show(share: number): void;
  /** Takes it away. Does nothing the second time. */
  stop(): void;
}

/** Work that is done sooner needs no bar. */
const PATIENCE_MS = 1000;
const FULL = 1000;

/** A bar on a terminal for work that takes more than a second; nothing elsewhere. */
export function openProgress({ stderr, clock }: World): Progress {
  const from = clock.now();
  let bar: SingleBar | undefined;
  return {
    show(share) {
      if (stderr.isTTY !== true || clock.now() - from < PATIENCE_MS) return;
      if (bar === undefined) {
        bar = new SingleBar({
          format: '{bar} {percentage} %  {eta_formatted} left',
          barsize: 40,
          clearOnComplete: true,
          hideCursor: true,
          stream: stderr as NodeJS.WritableStream,
        });
        bar.start(FULL, 0);
      }
      bar.update(Math.round(share * FULL));
    },
    stop() {
      bar?.stop();
      bar = undefined;
    },
  };
}
