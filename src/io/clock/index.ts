export { CLOCK, type Clock, type Ticker } from './clock.js';
export { goFirst } from './go-first.js';
export { notifyReady } from './notify-ready.js';
export { type VitalSigns, watchVitalSigns } from './vital-signs.js';
