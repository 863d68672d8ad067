import { WebSocket } from 'ws';
import {
  FEED_VERSION,
  formatMessage,
  LIMITS,
  parseDownstream,
  type Upstream,
} from '../../src/core/protocol/index.js';
import { createRandom } from '../support/random.js';

/**
 * Everybody who looks on, in a process of its own: `node onlookers.js ADDRESS TOKEN VIEWERS SEED`. VIEWERS only look; one
 * more holds the token and changes the strategy and the settings, starts pieces and plays. What comes to that one is
 * checked to the last field.
 *
 * The parent sends `rest` (everything of this one falls silent) and `go`, and asks for a `report`.
 */
const [address = '', token = '', viewers = '0', seed = '1'] = process.argv.slice(2);
const random = createRandom(Number(seed));
const CHANGE_MS = 1500;
const STRATEGIES = ['free', 'pull', 'anchored', 'temper'] as const;

/** What they have to tell. */
export interface OnlookersReport {
  readonly frames: number;
  readonly mebibytes: number;
  readonly cutOff: number;
  readonly orders: Readonly<Record<string, number>>;
  readonly refused: readonly string[];
  readonly strange: readonly string[];
  /** Ledger entries that came, and numbers that were left out on the way though the frame had room. */
  readonly entries: number;
  readonly missed: number;
  readonly soundingNotes: number;
}

let frames = 0;
let bytes = 0;
let cutOff = 0;

async function look(): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    const socket = new WebSocket(`${address}/feed`, { perMessageDeflate: false, skipUTF8Validation: true });
    socket.on('open', () => resolve());
    socket.on('error', reject);
    socket.on('close', () => cutOff++);
    socket.on('message', (data: Buffer) => {
      frames++;
      bytes += data.length;
    });
  });
}

/** The one with the token. */
class Director {
  readonly #socket = new WebSocket(`${address}/feed`, { perMessageDeflate: false });
  readonly orders: Record<string, number> = {};
  readonly refused: string[] = [];
  readonly strange: string[] = [];
  readonly #lastEntry = new Map<string, number>();
  /** Strategies of which a full frame may have left out entries. */
  readonly #excused = new Set<string>();
  entries = 0;
  missed = 0;
  soundingNotes = 0;
  mayControl = false;
  isResting = false;
  #down: number[] = [];
  #pieces: readonly string[] = [];

  async open(): Promise<void> {
    this.#socket.on('message', (data) => this.#hear(String(data)));
    await new Promise((resolve, reject) => this.#socket.on('open', resolve).on('error', reject));
    this.#send({ type: 'hello', version: FEED_VERSION, token });
  }

  change(): void {
    if (this.isResting || !this.mayControl) return;

    const choice = random(13);
    if (choice < 3) this.#send({ type: 'control', what: 'hear', value: STRATEGIES[random(4)] });
    else if (choice === 3)
      this.#send({ type: 'control', what: 'leeway', strategy: 'anchored', value: random(13) });
    else if (choice === 4) this.#send({ type: 'control', what: 'rate', value: 1 + random(8) });
    else if (choice === 5)
      this.#send({ type: 'control', what: 'held', value: random(2) ? 'follow' : 'stay' });
    else if (choice === 6)
      this.#send({ type: 'control', what: 'limit', value: ([3, 5, 7, 11, 13] as const)[random(5)] });
    else if (choice === 7) this.#send({ type: 'control', what: random(2) ? 'home-now' : 'home-next' });
    else if (choice === 8) this.#send({ type: 'control', what: 'hear', value: 'equal' });
    else if (choice === 9 && this.#pieces.length > 0)
      this.#send({
        type: 'piece',
        act: 'start',
        name: this.#pieces[random(this.#pieces.length)],
        tempo: 1 + random(3),
        loop: true,
      });
    else if (choice === 10) this.#send({ type: 'piece', act: 'stop' });
    else if (choice === 11) this.#send({ type: 'control', what: 'recall', value: 10 * random(3) });
    else this.#chord();
  }

  rest(): void {
    this.isResting = true;
    this.#down = [];
    this.#send({ type: 'play', act: 'all-off' });
    this.#send({ type: 'piece', act: 'stop' });
  }

  #chord(): void {
    for (const key of this.#down) this.#send({ type: 'play', act: 'off', key });
    this.#down = random(3) === 0 ? [] : [0, 4, 7].map((step) => 60 + random(12) + step);
    for (const key of this.#down) this.#send({ type: 'play', act: 'on', key, velocity: 60 });
  }

  #send(message: Upstream): void {
    this.#socket.send(formatMessage(message));
    const what = message.type === 'control' ? message.what : message.type;
    this.orders[what] = (this.orders[what] ?? 0) + 1;
  }

  #hear(text: string): void {
    const parsed = parseDownstream(text);
    if (!parsed.ok) {
      this.strange.push(parsed.problem.message);
      return;
    }
    const message = parsed.value;
    if (message.type === 'rights') this.mayControl = message.mayControl;
    if (message.type === 'refused') this.refused.push(`${message.code}: ${message.text}`);
    if (message.type === 'snapshot') {
      this.#pieces = message.pieces.map(({ name }) => name);
      // The ledger begins again with a piece.
      this.#lastEntry.clear();
      for (const { n, strategy } of message.frame.entries) this.#lastEntry.set(strategy, n);
    }
    if (message.type !== 'frame') return;
    this.soundingNotes = message.notes.length + message.more;
    // A frame that is full left out what came first, of any strategy; that shows with the next entry of each.
    if (message.entries.length === LIMITS.entries) for (const which of STRATEGIES) this.#excused.add(which);
    for (const { n, strategy } of message.entries) {
      const last = this.#lastEntry.get(strategy);
      this.entries++;
      if (last !== undefined && n > last + 1 && !this.#excused.has(strategy)) this.missed += n - last - 1;
      this.#lastEntry.set(strategy, Math.max(n, last ?? 0));
      this.#excused.delete(strategy);
    }
  }
}

const director = new Director();
await director.open();
for (let made = 0; made < Number(viewers); made += 25)
  await Promise.all(Array.from({ length: Math.min(25, Number(viewers) - made) }, look));
setInterval(() => director.change(), CHANGE_MS);
process.on('message', (what) => {
  if (what === 'rest') director.rest();
  if (what === 'go') director.isResting = false;
  if (what !== 'report') return;
  const { orders, refused, strange, entries, missed, soundingNotes } = director;
  const mebibytes = bytes / 2 ** 20;
  const report: OnlookersReport = {
    ...{ frames, mebibytes, cutOff, orders, refused, strange, entries, missed, soundingNotes },
  };
  process.send?.(report);
});
process.on('disconnect', () => process.exit());
process.send?.('ready');
