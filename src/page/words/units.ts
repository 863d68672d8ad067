/**
 * Words with the unit of cents in full: sentences that other views share write it short.
 * @example spellCents('That moved it by −21.5 c.')  // 'That moved it by −21.5 cents.'
 */
export function spellCents(words: string): string {
  return words.replace(/(\d) c\b/g, '$1 cents');
}
