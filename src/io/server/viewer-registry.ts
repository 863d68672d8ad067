import type { WebSocket } from 'ws';
import type { MonitorCounters } from '../../core/monitor/index.js';
import { type Downstream, formatMessage, LIMITS } from '../../core/protocol/index.js';
import { CLOSE, Viewer } from './viewer.js';

/** Most viewers at once. */
export const MOST_VIEWERS = 2000;

/** What the registry needs of its server. */
export interface RegistryListener {
  /** A snapshot as text, for viewers with and without control. */
  readonly snapshot: (mayControl: boolean) => string;
  readonly heard: (viewer: Viewer, text: string) => void;
  readonly left: (viewer: Viewer) => void;
}

/** All viewers. A message to all of them is encoded once. */
export class ViewerRegistry {
  readonly counters: MonitorCounters & { refusedViewers: number; cutViewers: number } = {
    droppedFrames: 0,
    viewers: 0,
    refusedViewers: 0,
    cutViewers: 0,
  };
  readonly #viewers = new Map<number, Viewer>();
  readonly #hooks: RegistryListener;
  readonly #most: number;
  #nextId: number;

  /** @param firstId number of the first viewer */
  constructor(firstId: number, hooks: RegistryListener, most: number = MOST_VIEWERS) {
    this.#nextId = firstId;
    this.#most = most;
    this.#hooks = hooks;
  }

  /** A viewer by its number, if it is still there. */
  find(id: number): Viewer | undefined {
    return this.#viewers.get(id);
  }

  add(socket: WebSocket): void {
    // A socket that fails closes next; without a listener its error would end the thread.
    socket.on('error', () => {});
    if (this.#viewers.size >= this.#most) {
      this.counters.refusedViewers++;
      socket.close(...CLOSE.full);
      return;
    }
    const viewer = new Viewer(this.#nextId++, socket);
    this.#viewers.set(viewer.id, viewer);
    this.counters.viewers = this.#viewers.size;
    socket.on('pong', () => {
      viewer.isThere = true;
    });
    socket.on('message', (data, isBinary) => {
      viewer.isThere = true;
      // Binary messages aren't part of the feed: passed on as an empty text, they are refused.
      this.#hooks.heard(viewer, isBinary ? '' : toText(data));
    });
    socket.on('close', () => {
      if (!this.#viewers.delete(viewer.id)) return;
      this.counters.viewers = this.#viewers.size;
      this.#hooks.left(viewer);
    });
    viewer.tellText(this.#hooks.snapshot(false));
  }

  /** Sends a message to everybody who keeps up; a slow viewer gets the newest state when there is room again. */
  sendAll(message: Downstream): void {
    if (this.#viewers.size === 0) return;
    const bytes = Buffer.from(formatMessage(message));
    for (const viewer of this.#viewers.values()) {
      if (viewer.isBehind ? !viewer.isFree : viewer.isClogged) {
        viewer.isBehind = true;
        this.counters.droppedFrames++;
      } else if (viewer.isBehind) {
        viewer.isBehind = false;
        viewer.tellText(this.#hooks.snapshot(viewer.mayControl));
      } else {
        viewer.socket.send(bytes, { binary: false });
      }
    }
  }

  /** Sends everybody a snapshot: what they know doesn't hold any more. */
  renewAll(): void {
    for (const viewer of this.#viewers.values()) viewer.tellText(this.#hooks.snapshot(viewer.mayControl));
  }

  /** Pings every viewer, and disconnects those that haven't answered since the last time. */
  ping(): void {
    for (const viewer of this.#viewers.values()) {
      if (!viewer.isThere) {
        this.counters.cutViewers++;
        viewer.socket.terminate();
        continue;
      }
      viewer.isThere = false;
      viewer.socket.ping();
    }
  }

  close(): void {
    for (const viewer of this.#viewers.values()) viewer.close(CLOSE.goingAway);
  }
}

/** A text message as text. It was checked to be UTF-8 and at most `LIMITS.upstreamBytes` long. */
function toText(data: WebSocket.RawData): string {
  const text = Array.isArray(data) ? Buffer.concat(data).toString() : Buffer.from(data as Buffer).toString();
  return text.slice(0, LIMITS.upstreamBytes + 1);
}
