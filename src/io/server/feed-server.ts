import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Duplex } from 'node:stream';
import { WebSocketServer } from 'ws';
import { type SessionMessage, SessionMonitor } from '../../core/monitor/index.js';
import { FRAMES_PER_SECOND, formatMessage, LIMITS } from '../../core/protocol/index.js';
import { MessageHandler } from './message-handler.js';
import { OriginCheck, type Refusal } from './origin-check.js';
import { COMMON_HEADERS, PageFiles } from './page-files.js';
import { createPageServer, refuse, refuseSocket } from './page-http.js';
import type { FromServer, ServerStart } from './protocol.js';
import { RelayConnection } from './relay-connection.js';
import { RelayPublisher } from './relay-publisher.js';
import { MOST_VIEWERS, ViewerRegistry } from './viewer-registry.js';

const FRAME_MS = 1000 / FRAMES_PER_SECOND;
/** Period of frames while no message comes but something sounds, fades or plays. */
const QUIET_FRAME_MS = 100;
/** Period of pings to viewers, and of progress and state to the session. */
const ASK_MS = 15_000;
const DONE_MS = 250;
const SNAPSHOT_MS = 1000;
/** Sockets accepted beyond the viewers: pages being loaded, and viewers to be refused. */
const MORE_SOCKETS = 400;

/**
 * The page and the feed on one port. It knows the session only by messages, and sends it the viewers' orders; it runs
 * in a separate thread, or within a test.
 */
export class FeedServer {
  readonly #start: ServerStart;
  readonly #tell: (message: FromServer) => void;
  readonly #monitor: SessionMonitor;
  readonly #viewers: ViewerRegistry;
  readonly #handler: MessageHandler;
  readonly #files: PageFiles;
  readonly #relay: RelayPublisher | undefined;
  readonly #http: Server;
  readonly #sockets: WebSocketServer;
  #origin: OriginCheck;
  #timers: NodeJS.Timeout[] = [];
  #frame: NodeJS.Timeout | undefined;
  #framedMs = -Infinity;
  #isNews = false;
  /** What the next frame must have, beside what sounds: new settings, another score, or all anew. */
  readonly #news = new Set<string>();
  /** Processed messages of the session, and whether there are any since the last snapshot for a next server. */
  #done = 0;
  #snapshotMs = -Infinity;
  #isAhead = false;
  #health: object = {};
  /** Snapshots of this moment as text, by rights: many viewers may come at once. */
  readonly #snapshots = new Map<boolean, string>();
  #refusedRequests = 0;

  /**
   * @param tell sends to the session
   */
  constructor(start: ServerStart, tell: (message: FromServer) => void) {
    this.#start = start;
    this.#tell = tell;
    this.#files = new PageFiles(start.folder);
    this.#monitor = new SessionMonitor(start, start.snapshot);
    this.#origin = new OriginCheck(start.address, start.port);
    this.#handler = new MessageHandler(start.token, { now: () => performance.now(), tell });
    this.#viewers = new ViewerRegistry(start.firstViewer, {
      snapshot: (mayControl) => this.#snapshot(mayControl),
      heard: (viewer, text) => this.#handler.hear(viewer, text),
      left: (viewer) => {
        if (viewer.mayControl) tell({ kind: 'left', viewer: viewer.id });
      },
    });
    this.#relay =
      start.relay &&
      new RelayPublisher(new RelayConnection(start.relay), {
        snapshot: () => this.#snapshot(false),
        tell: (lost) => tell({ kind: 'relay', lost }),
      });
    this.#http = createPageServer(MOST_VIEWERS + MORE_SOCKETS, (request, response) =>
      this.#answer(request, response),
    );
    this.#http.on('upgrade', (request, socket, head) => this.#upgrade(request, socket, head));
    this.#sockets = new WebSocketServer({
      noServer: true,
      perMessageDeflate: false,
      maxPayload: LIMITS.upstreamBytes,
      clientTracking: false,
    });
  }

  /** Listens on the first free port. Reports `listening` or `refused`. */
  open(): void {
    let { port, morePorts } = this.#start;
    this.#http.on('error', (error: NodeJS.ErrnoException) => {
      if (this.#http.listening) return;
      if (error.code === 'EADDRINUSE' && morePorts > 0) {
        morePorts--;
        this.#http.listen(++port, this.#start.address);
        return;
      }
      this.#tell({ kind: 'refused', code: error.code ?? '', message: error.message });
    });
    this.#http.on('listening', () => {
      const { port: own } = this.#http.address() as AddressInfo;
      this.#origin = new OriginCheck(this.#start.address, own);
      this.#timers = [
        setInterval(() => this.#viewers.ping(), ASK_MS),
        setInterval(() => this.#tellDone(), DONE_MS),
        setInterval(() => this.#isQuietlyDue(), QUIET_FRAME_MS),
      ];
      this.#relay?.start();
      this.#tell({ kind: 'listening', port: own });
    });
    this.#http.listen(port, this.#start.address);
  }

  take(message: SessionMessage): void {
    this.#done++;
    this.#isAhead = true;
    if (message.kind === 'figures') this.#health = message.health;
    if (message.kind === 'notice') {
      const { level, text } = message;
      this.#viewers.sendAll({ type: 'notice', level, text: text.slice(0, LIMITS.text) });
    }
    if (message.kind === 'answer') this.#viewers.find(message.viewer)?.tell(message.message);
    const seen = this.#monitor.take(message);
    if (seen === 'nothing') return;
    this.#snapshots.clear();
    this.#news.add(seen);
    // The session may soon need its state.
    if (seen === 'rebuilt') this.#snapshotMs = -Infinity;
    this.#hurry();
  }

  async close(): Promise<void> {
    for (const timer of this.#timers) clearInterval(timer);
    clearTimeout(this.#frame);
    this.#relay?.close();
    this.#viewers.close();
    await new Promise<void>((done) => {
      this.#http.close(() => done());
      setTimeout(() => this.#http.closeAllConnections(), 50);
      // Upgraded sockets belong to the registry; one that doesn't close in time ends with the thread.
      setTimeout(done, 300);
    });
  }

  /** Makes a frame, at once if the last one is long enough ago. */
  #hurry(): void {
    this.#isNews = true;
    if (this.#frame !== undefined) return;
    const waitMs = Math.max(0, this.#framedMs + FRAME_MS - performance.now());
    this.#frame = setTimeout(() => {
      this.#frame = undefined;
      if (this.#isNews) this.#makeFrame();
      if (this.#monitor.replicas.isMoving) this.#hurry();
    }, waitMs);
  }

  #isQuietlyDue(): void {
    if (this.#frame === undefined && this.#monitor.isAlive) this.#hurry();
  }

  #makeFrame(): void {
    this.#isNews = false;
    this.#framedMs = performance.now();
    this.#snapshots.clear();
    const news = this.#news;
    if (news.has('settings')) this.#viewers.sendAll({ type: 'settings', settings: this.#monitor.settings() });
    if (news.has('score')) this.#viewers.sendAll({ type: 'score', score: this.#monitor.score });
    this.#monitor.record();
    const frame = this.#monitor.frame(this.#viewers.counters);
    if (news.has('rebuilt')) this.#viewers.renewAll();
    else this.#viewers.sendAll(frame);
    // A relay gets no other messages than frames and snapshots.
    if (news.has('settings') || news.has('score') || news.has('rebuilt')) this.#relay?.refresh();
    this.#relay?.take(frame);
    news.clear();
  }

  #snapshot(mayControl: boolean): string {
    let text = this.#snapshots.get(mayControl);
    if (text === undefined) {
      text = formatMessage(this.#monitor.toViewerSnapshot(mayControl, this.#viewers.counters));
      this.#snapshots.set(mayControl, text);
    }
    return text;
  }

  /** Reports its progress, and sometimes, between two strikes, its state. */
  #tellDone(): void {
    const nowMs = performance.now();
    const snapshot =
      this.#isAhead && nowMs - this.#snapshotMs > SNAPSHOT_MS ? this.#monitor.toSnapshot() : undefined;
    if (snapshot !== undefined) {
      this.#snapshotMs = nowMs;
      this.#isAhead = false;
    }
    this.#tell({ kind: 'done', count: this.#done, snapshot });
  }

  #answer(request: IncomingMessage, response: ServerResponse): void {
    request.resume();
    const refusal = this.#origin.check(request) ?? this.#serve(request, response);
    if (refusal === undefined) return;
    this.#refusedRequests++;
    refuse(response, refusal);
  }

  #serve(request: IncomingMessage, response: ServerResponse): Refusal | undefined {
    if (request.method !== 'GET' && request.method !== 'HEAD')
      return { status: 405, text: 'There is nothing to be changed here.' };
    const path = String(request.url).split('?')[0];
    if (path !== '/healthz') return this.#files.answer(path, request, response);
    response.writeHead(200, { ...COMMON_HEADERS, 'Content-Type': 'application/json' });
    response.end(
      request.method === 'HEAD' ? undefined : `${JSON.stringify(this.#toHealth(), undefined, 2)}\n`,
    );
    return undefined;
  }

  #toHealth(): object {
    const { rss, heapUsed } = process.memoryUsage();
    return {
      status: 'ok',
      version: this.#start.version,
      ...this.#health,
      server: {
        ...this.#viewers.counters,
        refusedMessages: this.#handler.refused,
        refusedRequests: this.#refusedRequests,
        workedOff: this.#done,
        relay: this.#relay?.counters,
        memoryBytes: rss,
        heapBytes: heapUsed,
      },
    };
  }

  #upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    socket.on('error', () => {});
    const path = String(request.url).split('?')[0];
    const refusal =
      this.#origin.check(request) ??
      (path === '/feed' ? undefined : { status: 404 as const, text: 'The feed is at /feed.' });
    if (refusal !== undefined) {
      this.#refusedRequests++;
      refuseSocket(socket, refusal);
      return;
    }
    this.#sockets.handleUpgrade(request, socket, head, (viewer) => this.#viewers.add(viewer));
  }
}
