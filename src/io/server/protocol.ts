import type { MonitorSnapshot, SessionFacts } from '../../core/monitor/index.js';
import type { PieceFact, Upstream } from '../../core/protocol/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';

/** An order a viewer with the token gave. */
export type Order = Extract<Upstream, { type: 'play' | 'control' }> | PlainPieceOrder;
type PlainPieceOrder = Exclude<Extract<Upstream, { type: 'piece' }>, { act: 'file' }>;

/** A piece one viewer sent, read and laid out in time. */
export interface SentPiece {
  readonly name: string;
  readonly title: string;
  readonly lengthMs: number;
  /** When each message is due, in milliseconds, and its bytes, three a message. */
  readonly timesMs: Float64Array;
  readonly messages: Uint8Array;
}

/** What the server tells the session. */
export type FromServer =
  | { readonly kind: 'listening'; readonly port: number }
  | { readonly kind: 'refused'; readonly code: string; readonly message: string }
  | { readonly kind: 'order'; readonly viewer: number; readonly order: Order }
  | { readonly kind: 'piece'; readonly viewer: number; readonly piece: SentPiece }
  | { readonly kind: 'left'; readonly viewer: number }
  /** How many messages have been worked off, and now and then the state after them. */
  | { readonly kind: 'done'; readonly count: number; readonly snapshot: MonitorSnapshot | undefined };

/** What a server is given when it starts. */
export interface ServerStart {
  readonly address: string;
  readonly port: number;
  /** Ports to try after the first, if it is taken. */
  readonly morePorts: number;
  readonly token: string;
  /** Tells this session from any other. */
  readonly session: string;
  /** Folder of the built page. */
  readonly folder: string;
  readonly version: string;
  readonly pieces: readonly PieceFact[];
  /** The number the first viewer gets: viewers of an earlier server are told from those of this one. */
  readonly firstViewer: number;
  readonly settings: TunerSettings;
  readonly facts: SessionFacts;
  /** What an earlier server had come to. */
  readonly snapshot: MonitorSnapshot | undefined;
}
