import type { SingleBar } from 'cli-progress';
import type { World } from './world.js';

/** A display of the progress. */
export interface Progress {
  /** @param share 0 to 1 */
  show(share: number): void;
  /** Removes it. Does nothing the second time. */
  stop(): void;
}

/** Shorter work needs no bar. */
const PATIENCE_MS = 1000;
const FULL = 1000;

/** A bar on a terminal, shown from now on until `stop`; undefined elsewhere. */
export async function openBar(world: World, format: string, total: number): Promise<SingleBar | undefined> {
  return (await loadBar(world))?.(format, total);
}

/** A bar on a terminal for work that takes more than a second; nothing elsewhere. */
export async function openProgress(world: World): Promise<Progress> {
  const { clock } = world;
  const from = clock.now();
  const startBar = await loadBar(world);
  let bar: SingleBar | undefined;
  return {
    show(share) {
      if (clock.now() - from < PATIENCE_MS) return;
      bar ??= startBar?.('{bar} {percentage} %  {eta_formatted} left', FULL);
      bar?.update(Math.round(share * FULL));
    },
    stop() {
      bar?.stop();
      bar = undefined;
    },
  };
}

/** The starter of a bar. Undefined, and nothing is loaded, without a terminal. */
async function loadBar({
  stderr,
}: World): Promise<((format: string, total: number) => SingleBar) | undefined> {
  if (stderr.isTTY !== true) return undefined;
  const { SingleBar } = await import('cli-progress');
  return (format, total) => {
    const bar = new SingleBar({
      format,
      barsize: 40,
      clearOnComplete: true,
      hideCursor: true,
      stream: stderr as NodeJS.WritableStream,
    });
    bar.start(total, 0);
    return bar;
  };
}
