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

/** A bar on a terminal for so much work; undefined elsewhere. It is there from now on; `stop` takes it away. */
export function openBar({ stderr }: World, format: string, total: number): SingleBar | undefined {
  if (stderr.isTTY !== true) return undefined;
  const bar = new SingleBar({
    format,
    barsize: 40,
    clearOnComplete: true,
    hideCursor: true,
    stream: stderr as NodeJS.WritableStream,
  });
  bar.start(total, 0);
  return bar;
}

/** A bar on a terminal for work that takes more than a second; nothing elsewhere. */
export function openProgress(world: World): Progress {
  const { clock } = world;
  const from = clock.now();
  let bar: SingleBar | undefined;
  return {
    show(share) {
      if (clock.now() - from < PATIENCE_MS) return;
      bar ??= openBar(world, '{bar} {percentage} %  {eta_formatted} left', FULL);
      bar?.update(Math.round(share * FULL));
    },
    stop() {
      bar?.stop();
      bar = undefined;
    },
  };
}
