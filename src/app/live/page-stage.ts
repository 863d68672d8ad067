import { BARE_STAGE, type StageFact, type StageOrder } from '../../core/protocol/index.js';

/** What the audience is shown: the view, the curves, a pointer, and the story's sentence. */
export class PageStage {
  #fact: StageFact = BARE_STAGE;
  /** Whose pointer it is. */
  #pointing: number | undefined;
  readonly #tell: (stage: StageFact) => void;

  constructor(tell: (stage: StageFact) => void) {
    this.#tell = tell;
  }

  get fact(): StageFact {
    return this.#fact;
  }

  change(changes: Partial<StageFact>): void {
    this.#fact = { ...this.#fact, ...changes };
    this.#tell(this.#fact);
  }

  /** Carries out an order of a viewer. */
  take(viewer: number, order: StageOrder): void {
    if (order.act === 'view') this.change({ view: order.value });
    else if (order.act === 'only') this.change({ only: order.value });
    else {
      this.#pointing = viewer;
      this.change({ pointer: order.value });
    }
  }

  /** A viewer has gone, and its pointer with it; `undefined`: all have. */
  leave(viewer?: number): void {
    if (this.#fact.pointer === null || (viewer !== undefined && viewer !== this.#pointing)) return;
    this.change({ pointer: null });
  }
}
