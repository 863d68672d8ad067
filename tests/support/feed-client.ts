import type { IncomingMessage } from 'node:http';
import { WebSocket } from 'ws';
import {
  type Downstream,
  FEED_VERSION,
  type Frame,
  formatMessage,
  parseDownstream,
  type Upstream,
} from '../../src/core/protocol/index.js';
import { until } from './until.js';

/** A viewer of a feed, as a program would be one. Everything that comes is checked. */
export class FeedClient {
  readonly socket: WebSocket;
  readonly messages: Downstream[] = [];
  /** Messages that are none of the feed. */
  readonly strange: string[] = [];
  closed: { code: number; reason: string } | undefined;
  /** The HTTP answer, where the socket was refused. */
  refused: { status: number | undefined; text: string } | undefined;

  /** @param address as `ws://127.0.0.1:8180` */
  constructor(address: string, headers: Readonly<Record<string, string>> = {}, path = '/feed') {
    this.socket = new WebSocket(`${address}${path}`, { headers, perMessageDeflate: false });
    this.socket.on('message', (data) => {
      const parsed = parseDownstream(String(data));
      if (parsed.ok) this.messages.push(parsed.value);
      else this.strange.push(parsed.problem.message);
    });
    this.socket.on('close', (code, reason) => {
      this.closed = { code, reason: String(reason) };
    });
    this.socket.on('unexpected-response', (_request, response: IncomingMessage) => {
      let text = '';
      response.on('data', (chunk) => {
        text += String(chunk);
      });
      response.on('end', () => {
        this.refused = { status: response.statusCode, text };
      });
    });
    this.socket.on('error', () => {});
  }

  /** Waits for the snapshot. */
  async isOpen(): Promise<this> {
    await until('a snapshot', () => this.of('snapshot').length > 0);
    return this;
  }

  /** Says hello, and waits for the answer. @returns whether it may control */
  async hello(token?: string): Promise<boolean> {
    const before = this.of('rights').length;
    this.send({ type: 'hello', version: FEED_VERSION, ...(token === undefined ? {} : { token }) });
    await until('rights', () => this.of('rights').length > before);
    return this.of('rights').at(-1)?.mayControl ?? false;
  }

  send(message: Upstream): this {
    this.socket.send(formatMessage(message));
    return this;
  }

  /** The messages of one type so far. */
  of<T extends Downstream['type']>(type: T): Extract<Downstream, { type: T }>[] {
    return this.messages.filter((one): one is Extract<Downstream, { type: T }> => one.type === type);
  }

  /** The newest frame, in a snapshot or by itself. */
  get frame(): Frame | undefined {
    const last = this.messages.findLast((one) => one.type === 'frame' || one.type === 'snapshot');
    return last?.type === 'snapshot' ? last.frame : last?.type === 'frame' ? last : undefined;
  }

  /** Waits until the newest frame is as it should be. */
  async sees(what: string, holds: (frame: Frame) => boolean, timeoutMs = 30_000): Promise<Frame> {
    const is = () => this.frame !== undefined && holds(this.frame);
    await until(what, is, timeoutMs);
    return this.frame!;
  }

  /** Leaves without a word. */
  vanish(): void {
    this.socket.terminate();
  }
}
