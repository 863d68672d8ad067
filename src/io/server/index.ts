/** The page and the feed, in a separate thread that is restarted if it dies. */
export type { EventQueue } from './event-queue.js';
export type { FromServer } from './protocol.js';
export { parseRelayAddress, type RelayAddress } from './relay-address.js';
export { DEFAULT_PAGE_PORT, type ServerConfig, ServerSupervisor } from './server-supervisor.js';
