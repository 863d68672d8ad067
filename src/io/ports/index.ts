export { formatPlace, matchPort } from './match-port.js';
export { lookUpPort, nearestPort } from './nearest-place.js';
export { NO_PORTS } from './no-ports.js';
export { type Diagnosis, diagnose, openPortSystem } from './open-port-system.js';
export { PortReconnector } from './port-reconnector.js';
export type { InputLink, OnBytes, OutputLink, PortList, PortPlace, PortSystem } from './port-system.js';
export type { Direction, ReconnectorListener, WantedPort } from './wanted-port.js';
