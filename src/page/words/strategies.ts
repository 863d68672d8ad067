/** What each strategy does with drift, after its name. */
export const STRATEGY_WORDS = {
  free: 'lets it go: tied notes never move',
  pull: 'brings everything home slowly',
  anchored: 'whoever is struck next stands by home',
  temper: 'the harmony shares it: a little impure, close to home',
} as const;
