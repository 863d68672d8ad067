/** Set in the number of a system message, so that it is no channel message's. */
const SYSTEM_BIT = 1 << 30;
/**
 * A channel message as one number. Hot path: allocates nothing.
 * @example toMessageNumber(0x90, 60, 80)  // 0x241e50: seven bits for each data byte
 */
export function toMessageNumber(status: number, data1: number, data2: number): number {
  return (status << 14) | (data1 << 7) | data2;
}

/** The channel 0..15 of a channel message, by its number. @example toChannelOf(toMessageNumber(0x93, 60, 80))  // 3 */
export function toChannelOf(message: number): number {
  return (message >> 14) & 0x0f;
}

/**
 * A system message as one number, by its length and its bytes: two that differ have different numbers, but for one case
 * in a thousand million. Hot path: allocates nothing.
 * @example toSystemNumber(Uint8Array.of(0xf8)) === toSystemNumber(Uint8Array.of(0xfa))  // false
 */
export function toSystemNumber(bytes: Uint8Array): number {
  let hash = bytes.length;
  for (let i = 0; i < bytes.length; i++) hash = Math.imul(hash ^ bytes[i], 0x01000193) ^ (hash >>> 15);
  return (hash & (SYSTEM_BIT - 1)) | SYSTEM_BIT;
}
