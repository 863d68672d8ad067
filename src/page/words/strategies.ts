/** What each strategy does with drift, after its name. */
export const STRATEGY_WORDS = {
  free: 'lets it go: tied notes never move',
  pull: 'brings everything home slowly',
  anchored: 'whoever is struck next stands by home',
} as const;
