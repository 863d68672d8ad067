import { createOutlet, type OutletChoice } from '../../../src/app/outlet-choice.js';
import { Line, type LineListener } from '../../../src/core/line/index.js';
import {
  BEND_CENTRE,
  type MidiFile,
  type MidiSink,
  parseMidiFile,
  toTempoMap,
  tracksOf,
} from '../../../src/core/midi/index.js';
import { decideBend } from '../../../src/core/outlet/index.js';
import { visitInOrder } from '../../../src/core/score/index.js';
import { createTuner, type Strategy, toSettings } from '../../../src/core/tuner/index.js';
import { readCorpora } from '../corpus/pieces.js';

const STRATEGIES: readonly Strategy[] = ['free', 'pull', 'anchored'];
const KINDS: readonly OutletChoice['kind'][] = ['mpe', 'multichannel', 'mts'];
const MEMBERS = 15;
const RANGE_SEMITONES = 48;

/** Bytes out for bytes in, all parts through one outlet as live; and bends, against channels given out in turn. */
export function benchWire(folder: string): void {
  console.log('\n| corpus | strategy | mpe | multichannel | mts | bends a note, mpe | in turn instead |');
  console.log('|---|---|--:|--:|--:|--:|--:|');
  for (const { name, pieces } of readCorpora(folder)) {
    const files = pieces.map(({ bytes }) => {
      const outcome = parseMidiFile(bytes);
      if (!outcome.ok) throw new Error(outcome.problem.message);
      return outcome.value.file;
    });
    for (const strategy of STRATEGIES) {
      const cells = KINDS.map((kind) => {
        const tally = files.map((file) => play(file, strategy, kind));
        const sum = (what: keyof Tally) => tally.reduce((total, one) => total + one[what], 0);
        return {
          bytes: sum('out') / sum('in'),
          bends: sum('bends') / sum('notes'),
          turns: sum('turns') / sum('notes'),
        };
      });
      const ratios = cells.map(({ bytes }) => `${bytes.toFixed(2)} ×`).join(' | ');
      console.log(
        `| ${name} | ${strategy} | ${ratios} | ${cells[0].bends.toFixed(2)} | ${cells[0].turns.toFixed(2)} |`,
      );
    }
  }
}

interface Tally {
  in: number;
  out: number;
  notes: number;
  bends: number;
  /** Bends if channels were given out one after another. */
  turns: number;
}

function play(file: MidiFile, strategy: Strategy, kind: OutletChoice['kind']): Tally {
  const tally: Tally = { in: 0, out: 0, notes: 0, bends: 0, turns: 0 };
  const sink: MidiSink = {
    channel(status) {
      tally.out += (status & 0xe0) === 0xc0 ? 2 : 3;
      if ((status & 0xf0) === 0xe0) tally.bends++;
    },
    system(bytes) {
      tally.out += bytes.length;
    },
  };
  const outlet = createOutlet({ kind, bendRange: undefined }, sink, (part) => part);
  outlet.open();
  tally.out = 0;
  tally.bends = 0;
  const outlets = [outlet];
  const line = new Line(createTuner(toSettings({ strategy })), () => outlets, new Turns(tally));
  const { toMs } = toTempoMap(file);
  visitInOrder(tracksOf(file), (event, track) => {
    if (event.kind !== 'channel') return;
    const { status, data1, data2 } = event;
    tally.in += (status & 0xe0) === 0xc0 ? 2 : 3;
    line.message(toMs(event.tick), track, status, data1, data2);
  });
  return tally;
}

/** The plainest allocator: channels one after another, skipping those that are taken. */
class Turns implements LineListener {
  readonly #tally: Tally;
  readonly #bends = new Array<number>(MEMBERS).fill(BEND_CENTRE);
  readonly #taken = new Array<number>(MEMBERS).fill(0);
  readonly #channels = new Map<number, number>();
  readonly #bend = { value: 0, clamped: false };
  #next = 0;

  constructor(tally: Tally) {
    this.#tally = tally;
  }

  start: NonNullable<LineListener['start']> = (_, note, cents) => {
    this.#tally.notes++;
    for (let tried = 0; tried < MEMBERS && this.#taken[this.#next] > 0; tried++) {
      this.#next = (this.#next + 1) % MEMBERS;
    }
    const channel = this.#next;
    this.#next = (channel + 1) % MEMBERS;
    this.#taken[channel]++;
    this.#channels.set(note.id, channel);
    this.#to(channel, cents - 100 * note.key);
  };

  retune: NonNullable<LineListener['retune']> = (_, note, cents) => {
    const channel = this.#channels.get(note.id);
    if (channel !== undefined) this.#to(channel, cents - 100 * note.key);
  };

  end: NonNullable<LineListener['end']> = (_, note) => {
    const channel = this.#channels.get(note.id);
    if (channel !== undefined) this.#taken[channel]--;
    this.#channels.delete(note.id);
  };

  #to(channel: number, offsetCents: number): void {
    decideBend(offsetCents, RANGE_SEMITONES, this.#bend);
    if (this.#bends[channel] === this.#bend.value) return;
    this.#bends[channel] = this.#bend.value;
    this.#tally.turns++;
  }
}
