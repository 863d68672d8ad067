/** The page and the feed, in a thread of their own that may die and come back. */
export type { Journal } from './journal.js';
export { ServerKeeper, type ServerWish, STOCK_PORT } from './keeper.js';
export type { FromServer } from './protocol.js';
export { ROW } from './rows.js';
export type { PlayingState, SessionFacts } from './session-facts.js';
