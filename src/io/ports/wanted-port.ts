import type { LeewayError } from '../leeway-error.js';
import type { OutputLink, PortPlace } from './port-system.js';

/** Direction of a port, seen from this program. */
export type Direction = 'input' | 'output';

/** A port that should be open whenever it is there. */
export interface WantedPort {
  readonly direction: Direction;
  /** For a port to be made its name; else what `matchPort` takes. */
  readonly name: string;
  /** Whether it is to be made, for other programs to connect to, rather than found. */
  readonly own: boolean;
}

/**
 * Receives the reports of a `PortReconnector`. Each change is reported once; errors thrown here are counted and go no
 * further.
 */
export interface ReconnectorListener {
  /** Bytes at an input; see `OnBytes`. Called by the driver, not by `look`, and its errors are not caught. */
  bytes(port: WantedPort, bytes: Uint8Array): void;
  /** It is open. @param link of an output; undefined for an input */
  opened(port: WantedPort, place: PortPlace, link: OutputLink | undefined): void;
  /** It was open and has gone. The link is closed already. */
  lost(port: WantedPort, place: PortPlace): void;
  /** It is missing, or its name means several; not reported right after `lost`. */
  waiting(port: WantedPort, reason: LeewayError): void;
  /**
   * It is there and doesn't open, or was closed by `drop`. Unless it never can, it is tried again, ever more rarely.
   */
  failed(port: WantedPort, error: LeewayError): void;
}
