import type { LeewayError } from '../leeway-error.js';
import type { OutputLink, PortPlace } from './port-system.js';

/** Which way a port goes, as seen from here. */
export type Direction = 'input' | 'output';

/** A port that is to be open whenever it is there. */
export interface WantedPort {
  readonly direction: Direction;
  /** Of a port of our own its name; else what `matchPort` takes. */
  readonly name: string;
  /** Whether it is to be made, for other programs to connect to, rather than found. */
  readonly own: boolean;
}

/** What a `PortReconnector` tells. Each change is told once; what these throw is counted and goes no further. */
export interface ReconnectorListener {
  /**
   * Something arrived at an input; see `OnBytes`. Comes straight from the driver, not from `look`, and what it throws
   * is not caught.
   */
  bytes(port: WantedPort, bytes: Uint8Array): void;
  /** It is open. @param link of an output; undefined for an input */
  opened(port: WantedPort, place: PortPlace, link: OutputLink | undefined): void;
  /** It was open and has gone. The link is closed already. */
  lost(port: WantedPort, place: PortPlace): void;
  /** It isn't there, or its name means several; not told where `lost` has just said so. */
  waiting(port: WantedPort, reason: LeewayError): void;
  /** It is there and doesn't open, or was given up by `drop`. Unless it never can, it is tried again, ever more rarely. */
  failed(port: WantedPort, error: LeewayError): void;
}
