import { readdirSync, readFileSync } from 'node:fs';

/** How often a refused port is asked for before it is tried again, where its use can be seen, and where it can't. */
const PATIENCE_SEEING = 15;
const PATIENCE_BLIND = 4;

interface Refusal {
  /** Who used MIDI devices when it was refused; undefined where that can't be seen. */
  readonly use: string | undefined;
  asked: number;
}

/**
 * Ports whose opening was refused, most often since another program holds them.
 *
 * At each refusal the library prints a line of its own to standard error, which nothing can stop. So a refused port is
 * tried again only when the use of MIDI devices has changed, or after it was asked for some times in vain.
 *
 * @example
 * const refused = new RefusedPorts(() => 'card0/midi0: 4711');
 * refused.add('Synth 24:0');
 * refused.has('Synth 24:0')  // true: the same program still holds it
 */
export class RefusedPorts {
  readonly #readUse: () => string | undefined;
  readonly #refusals = new Map<string, Refusal>();

  /** @param readUse a text that changes with the use of MIDI devices; undefined where that can't be seen */
  constructor(readUse: () => string | undefined) {
    this.#readUse = readUse;
  }

  /** Whether opening the port would be refused again. @param fullName the system's name, with its number */
  has(fullName: string): boolean {
    const refusal = this.#refusals.get(fullName);
    if (refusal === undefined) return false;
    const use = this.#readUse();
    refusal.asked++;
    const patience = use === undefined ? PATIENCE_BLIND : PATIENCE_SEEING;
    if (use === refusal.use && refusal.asked < patience) return true;
    this.#refusals.delete(fullName);
    return false;
  }

  add(fullName: string): void {
    this.#refusals.set(fullName, { use: this.#readUse(), asked: 0 });
  }

  /** Removes what isn't there any more. @param names the full names of the present ports */
  keep(names: readonly string[]): void {
    for (const name of this.#refusals.keys()) if (!names.includes(name)) this.#refusals.delete(name);
  }
}

/** ALSA's cards. Each has a file `midi0`, `midi1` … for its MIDI devices. */
const CARDS = '/proc/asound';

/** Which programs hold ALSA's MIDI devices directly, beside the sequencer; undefined where that can't be seen. */
export function readRawUse(): string | undefined {
  try {
    return readdirSync(CARDS)
      .filter((card) => /^card\d+$/.test(card))
      .flatMap((card) =>
        readdirSync(`${CARDS}/${card}`)
          .filter((device) => /^midi\d+$/.test(device))
          .map(
            (device) =>
              `${card}/${device}:${parseOwners(readFileSync(`${CARDS}/${card}/${device}`, 'utf8'))}`,
          ),
      )
      .join('\n');
  } catch {
    return undefined;
  }
}

/**
 * The numbers of the programs that hold a MIDI device, from the text of a file such as /proc/asound/card1/midi0.
 * @example parseOwners('Keys\n\nInput 0\n  Rx bytes     : 0\n  Owner PID    : 164\n')  // ' 164'
 */
export function parseOwners(text: string): string {
  return [...text.matchAll(/^ *Owner PID *: (\d+)$/gm)].map(([, owner]) => ` ${owner}`).join('');
}
