export { CLOCK, type Clock, type Ticker } from './clock.js';
export { notifyReady } from './notify-ready.js';
export { type VitalSigns, watchVitalSigns } from './vital-signs.js';
