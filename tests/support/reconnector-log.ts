import {
  formatPlace,
  type OutputLink,
  type ReconnectorListener,
  type WantedPort,
} from '../../src/io/ports/index.js';

/** Writes down what a reconnector reports: `opened input Keys`, `waiting output Synth: PORT_MISSING`. */
export class ReconnectorLog implements ReconnectorListener {
  lines: string[] = [];
  readonly heard: number[][] = [];
  readonly outputs = new Map<WantedPort, OutputLink>();

  bytes(_port: WantedPort, bytes: Uint8Array): void {
    this.heard.push([...bytes]);
  }

  opened(port: WantedPort, place: Parameters<typeof formatPlace>[0], link: OutputLink | undefined): void {
    this.lines.push(`opened ${port.direction} ${formatPlace(place)}`);
    if (link !== undefined) this.outputs.set(port, link);
  }

  lost(port: WantedPort, place: Parameters<typeof formatPlace>[0]): void {
    this.lines.push(`lost ${port.direction} ${formatPlace(place)}`);
    this.outputs.delete(port);
  }

  waiting(port: WantedPort, reason: { readonly code: string }): void {
    this.lines.push(`waiting ${port.direction} ${port.name}: ${reason.code}`);
  }

  failed(port: WantedPort, error: { readonly code: string }): void {
    this.lines.push(`failed ${port.direction} ${port.name}: ${error.code}`);
    this.outputs.delete(port);
  }

  /** What was told since the last time. */
  take(): string[] {
    const { lines } = this;
    this.lines = [];
    return lines;
  }
}
