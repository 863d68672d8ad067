import type { PassFact, Strategy, Tuning } from '../../core/protocol/index.js';
import type { TimeWindow } from './scales.js';

/** A step of the drift: when, and where it led to. */
export interface StepMark {
  readonly seconds: number;
  readonly cents: number;
}

/** What the plot shows beside the log. */
export interface PlotView {
  readonly window: TimeWindow;
  readonly nowSeconds: number;
  readonly leewayCents: number;
  readonly passes: readonly PassFact[];
  /** Marks passes along the time scale, not how long ago. */
  readonly byPasses: boolean;
  readonly lines: readonly Strategy[];
  readonly heard: Tuning;
  /** Steps of the heard line. */
  readonly steps: readonly StepMark[];
}
