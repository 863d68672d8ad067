/** The page and the feed, in a thread of their own that may die and come back. */
export type { EventQueue } from './event-queue.js';
export type { FromServer } from './protocol.js';
export { DEFAULT_PAGE_PORT, type ServerConfig, ServerSupervisor } from './server-supervisor.js';
