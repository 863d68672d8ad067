import { STRATEGIES } from '../../core/protocol/index.js';
import type { AppStore } from '../state/app-store.js';
import { toSteps } from '../state/steps.js';
import type { PlotView } from './plot.js';
import { toWindow } from './scales.js';

/** What the chart shows now: the window, the lines the lecturer left in, and the steps of the heard one. */
export function toPlotView({ state, span, heard, log }: AppStore): PlotView {
  const { frame, settings, passes, entries } = state;
  const nowSeconds = (frame?.atMs ?? 0) / 1000;
  const only = frame?.stage.only ?? [];
  const leewayOf = heard === 'pull' ? 'pull' : 'anchored';
  return {
    window: toWindow(span, nowSeconds, passes, frame?.playing ?? null),
    nowSeconds,
    leewayCents: settings?.leewayCents[leewayOf] ?? 0,
    passes,
    byPasses: span.kind === 'passes',
    lines: STRATEGIES.filter((line) => only.length === 0 || only.includes(line) || line === heard),
    heard,
    steps: toSteps(entries, heard, log),
  };
}
