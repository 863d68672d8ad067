/**
 * Who pays for pure chords: nobody (`free`, the pitch drifts), everything that sounds (`pull`, slowly; `anchored`, at each
 * strike), or the harmony (`temper`).
 */
export type Strategy = (typeof STRATEGIES)[number];

/** All strategies, in the order they are shown. */
export const STRATEGIES = ['free', 'pull', 'anchored', 'temper'] as const;
