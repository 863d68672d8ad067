import type { LiveSession } from '../app/live/live-session.js';

/** What is needed of a session. */
type Ports = Pick<LiveSession, 'wanted' | 'isOpen'>;

/**
 * Tells when there is something to play on and something to play to: an input or the page, and an output. Without any
 * wanted output, as where MIDI can't be used, the page is what plays.
 *
 * @example
 * const readiness = new Readiness({ wanted: { inputs: [], outlets: [], all: [] }, isOpen: () => false }, true);
 * readiness.look()    // undefined: nothing is told before the greeting
 * readiness.greet()   // 'Ready to play.'
 * readiness.look()    // undefined: it was ready before
 */
export class Readiness {
  readonly #ports: Ports;
  readonly #hasPage: boolean;
  #isReady = false;
  #isGreeted = false;

  /** @param hasPage whether it can be played on the page */
  constructor(ports: Ports, hasPage: boolean) {
    this.#ports = ports;
    this.#hasPage = hasPage;
  }

  /** The first sentence when everything has started: ready, or what is missing. */
  greet(): string {
    const missing = this.#findMissing();
    this.#isGreeted = true;
    this.#isReady = missing.length === 0;
    return this.#isReady ? READY : `Not ready to play yet: ${missing.join(' and ')} is open.`;
  }

  /** Call it when a port opened or went. @returns the sentence to tell, if it is ready now and wasn't before */
  look(): string | undefined {
    if (!this.#isGreeted) return undefined;
    const wasReady = this.#isReady;
    this.#isReady = this.#findMissing().length === 0;
    return this.#isReady && !wasReady ? READY : undefined;
  }

  #findMissing(): string[] {
    const { wanted, isOpen } = this.#ports;
    const isAnyOpen = (ports: Ports['wanted']['all']) => ports.some((port) => isOpen.call(this.#ports, port));
    const missing: string[] = [];
    if (!this.#hasPage && !isAnyOpen(wanted.inputs)) missing.push('no input');
    if (wanted.outlets.length > 0 && !isAnyOpen(wanted.outlets)) missing.push('no output');
    return missing;
  }
}

const READY = 'Ready to play.';
