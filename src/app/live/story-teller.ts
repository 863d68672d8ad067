import type { StageFact, Tuning } from '../../core/protocol/index.js';
import type { Story, StoryMusic } from '../story/story.js';
import type { PagePieces } from './page-pieces.js';
import type { NamedPiece, Range } from './piece-stretch.js';

/** What a story needs of the page. */
export interface TellerEdges {
  readonly pieces: PagePieces;
  readonly hear: (tuning: Tuning) => void;
  readonly show: (changes: Partial<StageFact>) => void;
}

/** Tells one story at a time: starts its music, changes what is heard, and what a stage shows. */
export class StoryTeller {
  readonly #edges: TellerEdges;
  #story: Story | undefined;
  #index = 0;
  /** The music of the present step, and its pass. Music that somebody else started isn't the story's. */
  #piece: NamedPiece | undefined;
  #music: StoryMusic | undefined;
  #pass = 0;

  constructor(edges: TellerEdges) {
    this.#edges = edges;
  }

  open(story: Story): void {
    this.#story = story;
    this.#go(0);
  }

  /** Stays at the last step. */
  next(): void {
    if (this.#story !== undefined && this.#index + 1 < this.#story.steps.length) this.#go(this.#index + 1);
  }

  /** To the step before, or the first again: as it begins, with its music from the start. */
  back(): void {
    if (this.#story === undefined) return;
    const index = Math.max(0, this.#index - 1);
    const before = this.#story.steps.slice(0, index + 1).findLast(({ music }) => music !== undefined);
    this.#go(index, before?.music);
  }

  /** The music goes on as it is. */
  close(): void {
    this.#story = undefined;
    this.#piece = undefined;
    this.#edges.show({ story: null });
  }

  /** A pass of a piece has begun. */
  passed(pass: number | undefined): void {
    const { player } = this.#edges.pieces;
    if (pass === undefined || pass === this.#pass || player.piece !== this.#piece) return;
    this.#pass = pass;
    this.#hear();
    const { passes } = this.#music ?? {};
    if (passes !== undefined && pass >= passes) player.setLoop(false);
  }

  /** @param music to start if the step has none */
  #go(index: number, music?: StoryMusic): void {
    const story = this.#story!;
    const step = story.steps[index];
    this.#index = index;
    const { title, steps } = story;
    const { sentence, show: view, only } = step;
    this.#edges.show({
      view,
      only: [...only],
      story: { title, step: index + 1, steps: steps.length, sentence },
    });
    const started = step.music ?? music;
    if (started === undefined) this.#continue();
    else this.#start(started);
  }

  /** What plays goes on. */
  #continue(): void {
    const { player } = this.#edges.pieces;
    const { play } = this.#story!.steps[this.#index];
    if (play === 'no') player.stop();
    else if (play !== undefined) player.pause(play === 'chord');
    this.#hear();
  }

  #start(music: StoryMusic): void {
    const { pieces } = this.#edges;
    const { play } = this.#story!.steps[this.#index];
    const piece = 'formula' in music.piece ? pieces.build(music.piece.formula) : music.piece;
    // A formula was built when the story was read, on another tonic.
    if ('code' in piece) return;
    this.#piece = piece;
    this.#music = music;
    this.#pass = 0;
    pieces.add(piece);
    if (play === 'no') {
      pieces.player.stop();
      this.#hear();
      return;
    }
    const { tempo, bars } = music;
    const range = bars === undefined ? undefined : toRange(piece, bars);
    pieces.player.start(piece, { tempo, loop: true, range, isPaused: play === 'chord' });
  }

  #hear(): void {
    const { hear } = this.#story?.steps[this.#index] ?? { hear: [] };
    if (hear.length > 0) this.#edges.hear(hear[Math.max(0, this.#pass - 1) % hear.length]);
  }
}

/** Bars of a piece, as a stretch. */
function toRange({ barsMs, lengthMs }: NamedPiece, [from, to]: readonly [number, number]): Range {
  return { fromMs: barsMs[from - 1], toMs: barsMs[to] ?? lengthMs };
}
