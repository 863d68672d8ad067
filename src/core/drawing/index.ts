/**
 * Drawing without a screen: shapes and their SVG text, widths of words, labels without overlap, the lattice as a plane.
 */
export {
  type CentsRange,
  COMMA_CENTS,
  DRIFT_LINES,
  drawDriftPlot,
  formatCommas,
  formatTick,
  type LineStyle,
  type PlotFrame,
  type PlotLine,
  toCommaRules,
  toPlotScale,
  toTicks,
} from './drift-plot.js';
export {
  findBonds,
  findPlane,
  findSails,
  follow,
  gridWithin,
  type LatticeKey,
  type Place,
  toCentre,
  toLatticeKey,
  toPlace,
  uniqueKeys,
  type Window,
} from './lattice-plane.js';
export { type Drawing, type Shape, shift, type TextShape, write } from './shapes.js';
export { spread } from './spread.js';
export { escapeText, formatDrawing, formatShapes, roundTenth } from './svg.js';
export { type Box, breakWords, overlap, toTextBox, toTextWidth } from './text-box.js';
