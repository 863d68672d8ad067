/** Pictures for slides: PNG from SVG. */
export { toPng } from './to-png.js';
