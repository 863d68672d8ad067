export { type Bend, decideBend, FOLD_CENTS, toBendCents } from './bend.js';
export { SharedPedals } from './controller-router.js';
export { GatheringSink } from './gathering-sink.js';
export { createMpe, type MpeOptions } from './mpe.js';
export { createMts, type MtsOptions } from './mts.js';
export { createMultichannel, type MultichannelOptions, PLAIN_CHANNELS } from './multichannel.js';
export type { BendOptions, Outlet, OutletCounters } from './outlet.js';
export { PacedSink } from './paced-sink.js';
