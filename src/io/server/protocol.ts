import type { MonitorSnapshot, SessionFacts } from '../../core/monitor/index.js';
import type { PieceFact, Upstream } from '../../core/protocol/index.js';
import type { Piece } from '../../core/score/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';
import type { RelayAddress } from './relay-address.js';

/** An order from a viewer with the token. */
export type Order = Extract<Upstream, { type: 'play' | 'control' | 'stage' | 'story' }> | PlainPieceOrder;
type PlainPieceOrder = Exclude<Extract<Upstream, { type: 'piece' }>, { act: 'file' }>;

/** A piece sent by a viewer, read and with its times. */
export interface SentPiece extends Piece {
  readonly name: string;
}

/** Messages of the server to the session. */
export type FromServer =
  | { readonly kind: 'listening'; readonly port: number }
  | { readonly kind: 'refused'; readonly code: string; readonly message: string }
  | { readonly kind: 'order'; readonly viewer: number; readonly order: Order }
  | { readonly kind: 'piece'; readonly viewer: number; readonly piece: SentPiece }
  /** A story sent by a viewer, not read yet. */
  | { readonly kind: 'story'; readonly viewer: number; readonly name: string; readonly text: string }
  | { readonly kind: 'left'; readonly viewer: number }
  /** The relay is lost, with why, or is back. */
  | { readonly kind: 'relay'; readonly lost: string | undefined }
  /** How many messages have been processed, and sometimes the state after them. */
  | { readonly kind: 'done'; readonly count: number; readonly snapshot: MonitorSnapshot | undefined };

/** The start of a server. */
export interface ServerStart {
  readonly address: string;
  readonly port: number;
  /** Ports to try after the first, if it is taken. */
  readonly morePorts: number;
  readonly token: string;
  readonly session: string;
  readonly folder: string;
  readonly version: string;
  readonly pieces: readonly PieceFact[];
  /** The number of the first viewer, different from those of an earlier server. */
  readonly firstViewer: number;
  readonly settings: TunerSettings;
  readonly facts: SessionFacts;
  readonly snapshot: MonitorSnapshot | undefined;
  /** Where frames are also published. */
  readonly relay?: RelayAddress | undefined;
}
